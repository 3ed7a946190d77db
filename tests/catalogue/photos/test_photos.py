"""Photographs: uploaded, turned, stripped, sized, shown to whom they may be shown."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from catalogue.models import Holding, Member, Photo
from series.picture.pictures import picture_bytes

BACKEND = "django.contrib.auth.backends.ModelBackend"
WHITE = 200
GPS = 0x8825


def upload(
    size: tuple[int, int] = (90, 60), fmt: str = "JPEG", orientation: int = 0
) -> SimpleUploadedFile:
    image = Image.new("RGB", size, "black")
    image.paste("white", (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[0x010F] = "A camera"
    exif.get_ifd(GPS)[1] = "N"
    if orientation:
        exif[0x0112] = orientation
    out = io.BytesIO()
    image.save(out, fmt, exif=exif)
    return SimpleUploadedFile("IMG_1.jpg", out.getvalue(), f"image/{fmt.lower()}")


def add(client: Client, holding: Holding, **files: SimpleUploadedFile) -> object:
    return client.post(f"/holdings/{holding.pk}/photos/", files)


@pytest.fixture
def holding(make_holding: Callable[..., Holding]) -> Holding:
    return make_holding(visibility="private")


@pytest.mark.parametrize("fmt", ["JPEG", "PNG", "WEBP"])
def test_it_works(as_member: Client, holding: Holding, fmt: str) -> None:
    add(as_member, holding, obverse=upload(fmt=fmt), reverse=upload((30, 30), fmt))
    assert [(p.side, p.width) for p in holding.photos.all()] == [("obverse", 90), ("reverse", 30)]


def test_sizes_are_made_and_served(as_member: Client, holding: Holding) -> None:
    add(as_member, holding, obverse=upload((1600, 900)))
    photo = Photo.objects.get()
    widths = {}
    for size in ("small", "medium", "large"):
        answer = as_member.get(f"/photos/{photo.pk}/{size}.webp")
        widths[size] = Image.open(io.BytesIO(answer.content)).width
    assert widths == {"small": 160, "medium": 480, "large": 1200}


def test_orientation_is_honoured(as_member: Client, holding: Holding) -> None:
    add(as_member, holding, obverse=upload((90, 60), orientation=6))
    photo = Photo.objects.get()
    shown = Image.open(io.BytesIO(picture_bytes(photo.digest, "full"))).convert("L")
    assert shown.size == (60, 90)
    assert shown.getpixel((30, 10)) > WHITE  # what was left stands on top
    assert shown.getpixel((30, 80)) < 50


@pytest.mark.parametrize("size", ["small", "medium", "large", "full"])
def test_metadata_is_stripped(as_member: Client, holding: Holding, size: str) -> None:
    add(as_member, holding, obverse=upload())
    shown = Image.open(io.BytesIO(picture_bytes(Photo.objects.get().digest, size)))
    assert dict(shown.getexif()) == {}
    assert not {"exif", "xmp", "icc_profile"} & set(shown.info)


@pytest.mark.parametrize("data", [b"", b"GIF89a....", b"<svg/>", b"\xff\xd8\xff\xe0broken"])
def test_what_is_no_picture_is_refused(as_member: Client, holding: Holding, data: bytes) -> None:
    answer = as_member.post(
        f"/holdings/{holding.pk}/photos/", {"obverse": SimpleUploadedFile("a.jpg", data)}
    )
    assert answer.status_code == 200
    assert not Photo.objects.exists()
    assert "errorlist" in answer.content.decode()


def test_a_picture_of_too_many_pixels_is_refused(
    as_member: Client, holding: Holding, settings: object
) -> None:
    settings.UPLOAD_LIMIT_PIXELS = 1000  # type: ignore[attr-defined]
    answer = add(as_member, holding, obverse=upload())
    assert "pixels" in answer.content.decode()  # type: ignore[attr-defined]
    assert not Photo.objects.exists()


def test_a_private_photograph_is_seen_by_its_owner_alone(
    as_member: Client, holding: Holding, other: Member, administrator: Member
) -> None:
    add(as_member, holding, obverse=upload())
    address = f"/photos/{Photo.objects.get().pk}/small.webp"
    seen = [as_member.get(address).status_code]
    for viewer in (other, administrator):
        client = Client()
        client.force_login(viewer, backend=BACKEND)
        seen.append(client.get(address).status_code)
    seen.append(Client().get(address).status_code)
    assert seen == [200, 404, 404, 404]


def test_a_public_photograph_is_seen_without_sign_in(as_member: Client, holding: Holding) -> None:
    add(as_member, holding, obverse=upload())
    Holding.objects.update(visibility="public")
    assert Client().get(f"/photos/{Photo.objects.get().pk}/small.webp").status_code == 200


def test_another_member_cannot_add_or_remove(
    client: Client, as_member: Client, holding: Holding, other: Member
) -> None:
    add(as_member, holding, obverse=upload())
    Holding.objects.update(visibility="club")
    stranger = Client()
    stranger.force_login(other, backend=BACKEND)
    answer = add(stranger, holding, obverse=upload())
    assert answer.status_code == 403  # type: ignore[attr-defined]
    assert stranger.post(f"/photos/{Photo.objects.get().pk}/remove/").status_code == 403
    assert Photo.objects.count() == 1


def test_the_same_picture_is_stored_once(
    as_member: Client, holding: Holding, settings: object
) -> None:
    add(as_member, holding, obverse=upload())
    add(as_member, holding, reverse=upload())
    stored = [p for p in settings.MEDIA_ROOT.rglob("*") if p.is_file()]  # type: ignore[attr-defined]
    assert len(stored) == 4
    assert Photo.objects.count() == 2
