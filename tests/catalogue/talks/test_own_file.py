"""A talk in one file of its own: what it holds, what it allows, and how large it may be.

The policy is checked against Content Security Policy Level 3 (W3C): a ``script`` or ``style``
element is allowed by the SHA-256 digest of its text as UTF-8, in base64 (section 8.2, "Usage of
the hash source"). The digests here are reckoned from the file as it was written.
"""

from __future__ import annotations

import base64
import hashlib
import io
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from fontTools.ttLib import TTFont
from hypothesis import given as for_all
from hypothesis import settings
from hypothesis import strategies as st
from PIL import Image

from catalogue.models import Member, Sheet, Talk
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.sheets import silent
from catalogue.printing.tasks import ask_for, draw_sheet
from catalogue.talks import own_file
from catalogue.talks.fitting import MOST_PX, fitted
from catalogue.talks.own_file import talk_file
from tests.catalogue.talks.giving_world import SAID, Given, give

pytestmark = pytest.mark.django_db


@pytest.fixture
def given(member: Member, coinage: Any, make_holding: Any) -> Given:
    return give(member, coinage, make_holding)


def _written(talk: Talk, notes: bool = False) -> str:
    return b"".join(talk_file(talk, notes, silent)).decode()


class _Elements(HTMLParser):
    """The texts of scripts and styles, every attribute, and what the policy says."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: dict[str, list[str]] = {"script": [], "style": []}
        self.attributes: list[tuple[str, str, str]] = []
        self.policy = ""
        self._in = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {name: value or "" for name, value in attrs}
        self.attributes += [(tag, name, value) for name, value in named.items()]
        if named.get("http-equiv") == "Content-Security-Policy":
            self.policy = named["content"]
        self._in = tag if tag in self.texts else ""

    def handle_endtag(self, tag: str) -> None:
        self._in = ""

    def handle_data(self, data: str) -> None:
        if self._in:
            self.texts[self._in].append(data)


def test_its_policy_allows_its_own_script_and_style_and_nothing_else(given: Given) -> None:
    page = _Elements(_written(given.talk))
    rules = {part.split()[0]: part.split()[1:] for part in page.policy.split(";")}

    def digests(kind: str) -> list[str]:
        return [
            f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
            for text in page.texts[kind]
        ]

    assert len(page.texts["script"]) == 2
    assert rules == {
        "default-src": ["'none'"],
        "script-src": digests("script"),
        "style-src": digests("style"),
        "img-src": ["data:"],
        "font-src": ["data:"],
        "base-uri": ["'none'"],
        "form-action": ["'none'"],
    }


def test_it_names_no_address_outside_itself(given: Given) -> None:
    text = _written(given.talk)
    page = _Elements(text)
    addresses = [v for _tag, name, v in page.attributes if name in {"href", "src", "action"}]
    assert len(addresses) > 10
    assert all(a.startswith(("#", "data:image/webp;base64,")) for a in addresses)
    assert not [name for _tag, name, _value in page.attributes if name == "style"]
    assert not re.search(r"https?://", text)
    assert "url(" not in page.texts["style"][0].replace('url("data:font/woff2;base64,', "")
    assert "stored:" not in text


def test_the_notes_are_in_it_only_where_they_were_asked_for(given: Given) -> None:
    assert SAID not in _written(given.talk)
    assert SAID in _written(given.talk, notes=True)


def test_its_pictures_and_fonts_can_be_opened(given: Given) -> None:
    text = _written(given.talk)
    pictures = re.findall(r"data:image/webp;base64,([A-Za-z0-9+/=]+)", text)
    assert len(pictures) == 4
    for packed in pictures:
        with Image.open(io.BytesIO(base64.b64decode(packed))) as image:
            image.load()
    fonts = re.findall(r"data:font/woff2;base64,([A-Za-z0-9+/=]+)", text)
    assert len(fonts) == 5
    for packed in fonts:
        known = TTFont(io.BytesIO(base64.b64decode(packed))).getBestCmap()
        assert {ord(letter) for letter in "From the quay, 1931"} <= set(known)


def test_each_picture_has_its_share_of_the_room(
    given: Given, monkeypatch: pytest.MonkeyPatch
) -> None:
    noise = io.BytesIO()
    Image.effect_noise((900, 900), 90).convert("RGB").save(noise, "WEBP", quality=95)
    monkeypatch.setattr(own_file, "picture_bytes", lambda _digest, _size: noise.getvalue())
    monkeypatch.setattr(own_file, "MOST_BYTES", 400_000)
    written = _written(given.talk)
    assert 300_000 < len(written.encode()) <= 400_000
    monkeypatch.setattr(own_file, "MOST_BYTES", 150_000)
    with pytest.raises(SheetProblem, match="Make two talks of it"):
        _written(given.talk)


def test_a_picture_that_is_gone_leaves_its_place_empty(
    given: Given, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(_digest: str, _size: str) -> bytes:
        raise FileNotFoundError

    monkeypatch.setattr(own_file, "picture_bytes", gone)
    assert _written(given.talk).count('href="data:,"') == 4


@for_all(st.integers(20, 300), st.integers(500, 30_000))
@settings(max_examples=25)
def test_a_picture_is_made_to_fit_and_keeps_its_shape(side: int, most: int) -> None:
    out = io.BytesIO()
    picture = Image.effect_noise((2 * side, side), 90).convert("RGB")
    picture.save(out, "WEBP", quality=90)
    small = fitted(out.getvalue(), most)
    with Image.open(io.BytesIO(small)) as image:
        assert len(small) <= most or max(image.size) <= 64
        assert max(image.size) <= 2 * side
        assert image.width / image.height == pytest.approx(2, abs=0.1)


def test_a_picture_wider_than_a_screen_shows_is_made_smaller_and_stays_clear() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (2000, 2000), (10, 20, 30, 0)).save(out, "WEBP")
    with Image.open(io.BytesIO(fitted(out.getvalue(), 10_000_000))) as image:
        assert image.size == (MOST_PX, MOST_PX)
        assert image.convert("RGBA").getpixel((5, 5))[3] == 0


# ---- asked for on a page and by a command ----
def test_a_short_talk_is_saved_at_once(as_member: Client, given: Given) -> None:
    address = f"/talks/{given.talk.pk}/file/"
    assert "with my notes, for me" in as_member.get(address).content.decode()
    answer = as_member.post(address)
    assert answer["Content-Type"] == "text/html; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="from-the-quay.html"'
    assert SAID not in answer.content.decode()
    assert SAID in as_member.post(address, {"notes": "on"}).content.decode()


def test_a_long_talk_is_written_by_a_task(
    as_member: Client, given: Given, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.talks.file_sheet.STOPS_AT_ONCE", 3)
    answer = as_member.post(f"/talks/{given.talk.pk}/file/")
    sheet = Sheet.objects.get()
    assert answer.url == f"/sheets/{sheet.pk}/"
    draw_sheet.func(sheet.pk)
    sheet.refresh_from_db()
    assert (sheet.state, sheet.done, sheet.total) == ("ready", 5, 5)
    assert "Save the file" in as_member.get(answer.url).content.decode()
    file = as_member.get(reverse("sheet-file", args=[sheet.pk]))
    assert file["Content-Type"] == "text/html; charset=utf-8"
    assert file["Content-Disposition"].startswith("attachment;")
    assert b"From the quay" in b"".join(file.streaming_content)


def test_nobody_has_a_file_of_anothers_talk(other: Member, given: Given) -> None:
    sheet = ask_for(other, "talk-file", "T", {"talk": given.talk.pk, "notes": True}, 5)
    draw_sheet.func(sheet.pk)
    sheet.refresh_from_db()
    assert (sheet.state, sheet.file) == ("failed", "")


def test_the_command_writes_it(given: Given, tmp_path: Path, capsys: Any) -> None:
    out = tmp_path / "talk.html"
    call_command("write_talk", given.talk.pk, out=out)
    assert "From the quay" in out.read_text()
    assert SAID not in out.read_text()
    assert "5 of 5 stops written" in capsys.readouterr().out
    call_command("write_talk", given.talk.pk, out=out, notes=True)
    assert SAID in out.read_text()


def test_the_command_says_what_is_wrong(given: Given, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="There is no talk 999999"):
        call_command("write_talk", 999_999, out=tmp_path / "talk.html")
    with pytest.raises(CommandError, match="There is no folder"):
        call_command("write_talk", given.talk.pk, out=tmp_path / "nowhere" / "talk.html")
    assert not list(tmp_path.glob("*.html"))
