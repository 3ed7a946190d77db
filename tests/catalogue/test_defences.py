"""What holds the site together against those who would misuse it; lines of tests/outside/asvs.toml.

Each test tries the misuse itself; what is tried elsewhere is named in that table.
"""

from __future__ import annotations

import json
import logging
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.apps import apps
from django.core import mail
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client, override_settings
from django.urls import reverse

from catalogue.members.links import make_reset
from catalogue.models import Holding, Member, Receipt
from tests.catalogue.access_addresses import ARGUMENTS
from tests.catalogue.access_world import World, make_world
from tests.catalogue.test_access_walk import ROWS

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).parents[2]
PASSWORD = "a good long password"
WRONG = "quite the wrong passphrase"


def _sign_in(client: Client, password: str = PASSWORD, **more: Any) -> Any:
    return client.post(reverse("sign-in"), {"username": "ana", "password": password, **more})


# ---- signing in and sessions ----
def test_a_failed_sign_in_is_noted_with_who_and_from_where(client: Client, member: Member) -> None:
    _sign_in(client, WRONG)
    noted = AccessAttempt.objects.get()
    assert (noted.username, noted.ip_address) == ("ana", "127.0.0.1")
    assert noted.attempt_time is not None


def test_no_password_is_written_down_anywhere(
    client: Client, member: Member, caplog: pytest.LogCaptureFixture
) -> None:
    """Neither a wrong one, which may be that of another site, nor the right one."""
    with caplog.at_level(logging.DEBUG):
        _sign_in(client, WRONG)
        _sign_in(client)
    stored = [
        str(value)
        for model in apps.get_models()
        for row in model._base_manager.values_list()
        for value in row
    ]
    assert stored
    for text in (*stored, caplog.text):
        assert WRONG not in text
        assert PASSWORD not in text


def test_signing_in_begins_a_session_of_its_own(client: Client, member: Member) -> None:
    """Whoever slipped somebody a session before gains nothing by it."""
    _sign_in(client, next="/holdings/quick/")
    client.get("/holdings/quick/")
    client.post(reverse("sign-out"))
    client.get("/sign-in/")
    session = client.session
    session["slipped"] = True
    session.save()
    before = client.cookies["sessionid"].value
    _sign_in(client)
    after = client.cookies["sessionid"].value
    assert before != after
    thief = Client()
    thief.cookies["sessionid"] = before
    assert thief.get("/").status_code == 302


def test_after_signing_out_the_old_session_is_worth_nothing(client: Client, member: Member) -> None:
    _sign_in(client)
    kept = client.cookies["sessionid"].value
    client.post(reverse("sign-out"))
    thief = Client()
    thief.cookies["sessionid"] = kept
    assert thief.get("/").status_code == 302


def test_another_password_ends_the_sessions_elsewhere(client: Client, member: Member) -> None:
    _sign_in(client)
    member.set_password("another good long one")
    member.save()
    assert client.get("/").status_code == 302


def test_no_script_reads_the_session_and_no_other_site_sends_it(
    client: Client, member: Member
) -> None:
    _sign_in(client)
    cookie = client.cookies["sessionid"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert client.get("/account/").cookies["csrftoken"]["samesite"] == "Lax"


def _settings_of(tmp_path: Path, names: list[str], **environment: str) -> dict[str, Any]:
    own = {k: v for k, v in os.environ.items() if not k.startswith(("EXERGUE", "DATABASE"))}
    code = (
        "import json; from django.conf import settings as s; "
        f"print(json.dumps({{name: getattr(s, name) for name in {names!r}}}, default=str))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={
            **own,
            "EXERGUE_VAR": str(tmp_path),
            "DJANGO_SETTINGS_MODULE": "catalogue.settings",
            **environment,
        },
        capture_output=True,
        text=True,
        check=True,
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_with_an_https_address_cookies_and_pages_go_no_other_way(tmp_path: Path) -> None:
    names = ["SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE", "SECURE_SSL_REDIRECT"]
    found = _settings_of(
        tmp_path, [*names, "SECURE_HSTS_SECONDS"], EXERGUE_SITE="https://coins.example.org"
    )
    assert [found[name] for name in names] == [True, True, True]
    assert found["SECURE_HSTS_SECONDS"] >= 31_536_000


def test_nothing_is_shown_for_work_on_the_code_unless_that_is_asked_for(tmp_path: Path) -> None:
    assert _settings_of(tmp_path, ["DEBUG"]) == {"DEBUG": False}


def test_sessions_hold_plain_values_alone(settings: Any) -> None:
    """What is read back from a session makes no object of any class."""
    assert settings.SESSION_SERIALIZER == "django.contrib.sessions.serializers.JSONSerializer"


# ---- requests of other sites and to other names ----
@pytest.fixture
def world() -> World:
    return make_world()


def test_every_form_refuses_what_was_not_sent_from_a_page_of_the_site(world: World) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(world.owner, backend="django.contrib.auth.backends.ModelBackend")
    taken = []
    for method, row, *_answers in ROWS:
        if method == "POST":
            fill = ARGUMENTS.get(row)
            address = reverse(row.split(":")[0], kwargs=fill(world) if fill else None)
            if client.post(address, {}).status_code != 403:
                taken.append(row)
    assert taken == []


def test_a_request_to_another_name_is_refused(as_member: Client) -> None:
    assert as_member.get("/", headers={"Host": "evil.example"}).status_code == 400
    assert as_member.get("/", headers={"X-Forwarded-Host": "evil.example"}).status_code == 200


def test_a_mailed_link_names_the_site_and_not_who_asked(
    member: Member, settings: Any, client: Client
) -> None:
    settings.MAIL_GIVEN = True
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
    Member.objects.filter(pk=member.pk).update(email="ana@example.org")
    client.post(
        reverse("forgot"),
        {"email": "ana@example.org"},
        headers={"X-Forwarded-Host": "evil.example"},
    )
    assert [settings.SITE_ADDRESS in sent.body for sent in mail.outbox] == [True]
    assert "evil.example" not in mail.outbox[0].body


@pytest.mark.parametrize("address", ["/sign-in/", "/", "/holdings/", "/no-such-page/", "/health/"])
def test_no_other_site_frames_a_page(as_member: Client, address: str) -> None:
    page = as_member.get(address)
    assert page["X-Frame-Options"] == "DENY"
    assert "frame-ancestors 'none'" in page["Content-Security-Policy"]


WAYS_BACK = [
    "https://evil.example/",
    "//evil.example/",
    "/\\evil.example",
    "javascript:alert(1)",
    "/\t/evil.example",
    "\x00//evil.example",
]


@pytest.mark.parametrize("elsewhere", WAYS_BACK)
def test_a_way_back_never_leads_to_another_site(
    as_member: Client, make_holding: Callable[..., Holding], elsewhere: str
) -> None:
    piece = make_holding()
    sent = {"back": elsewhere, "size": "1", "holding": piece.pk}
    for name, args in (
        ("plate-size", []),
        ("identify-told", []),
        ("chosen-sheet", []),
        ("holdings-bulk", []),
        ("holding-bin", [piece.pk]),
    ):
        answer = as_member.post(reverse(name, args=args), sent)
        assert "evil.example" not in answer.headers.get("Location", ""), name
        assert answer.headers.get("Location", "/").startswith("/"), name


# ---- what is sent, and what it may change ----
def test_fields_that_a_form_does_not_show_change_nothing(
    as_member: Client, member: Member, other: Member, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding()
    sent = {
        "coin_type": piece.coin_type_id,
        "type_text": f"{piece.coin_type} — First, Testland",
        "shown_type": piece.coin_type_id,
        "accession": piece.accession,
        "quantity": "1",
        "grade_scale": "british",
        "visibility": "club",
        "note": "changed",
        "owner": other.pk,
        "status": "sold",
        "grade_rank": "70",
        "search_text": "x",
        "deleted_at": "2020-01-01",
        "pk": "1",
        "id": "1",
    }
    assert as_member.post(reverse("holding-edit", args=[piece.pk]), sent).status_code == 302
    now = Holding.objects.get(pk=piece.pk)
    assert (now.note, now.owner_id, now.status) == ("changed", member.pk, "held")
    assert (now.grade_rank, now.deleted_at) == (None, None)


# ---- files ----
NAMES = [
    "../../x.pdf",
    "..\\..\\x.pdf",
    "/etc/passwd",
    "....pdf",
    ".pdf",
    "\u202efdp.exe",
    "\u202e",
    "%2e%2e%2fx",
    "x" * 400,
]


def _as_sent(field: str, name: str, data: bytes) -> bytes:
    """A file under a name that no browser would send."""
    head = f'--line\r\nContent-Disposition: form-data; name="{field}"; filename="{name}"\r\n\r\n'
    return head.encode() + data + b"\r\n--line--\r\n"


@pytest.mark.parametrize("name", NAMES)
def test_the_name_of_a_file_leads_nowhere(
    as_member: Client, make_holding: Callable[..., Holding], settings: Any, name: str
) -> None:
    piece = make_holding()
    answer = as_member.post(
        reverse("receipt-add", args=[piece.pk]),
        _as_sent("file", name, b"%PDF-1.7"),
        content_type="multipart/form-data; boundary=line",
    )
    # Of a name with no letter that is shown no file comes along, and the form says so.
    assert answer.status_code == (200 if name == "\u202e" else 302)
    stored = [p for p in Path(settings.MEDIA_ROOT).rglob("*") if p.is_file()]
    for path in stored:
        assert path.parent.name == "receipts"
    for kept in Receipt.objects.all():
        assert kept.name.endswith(".pdf")
        assert not set(kept.name) & {"/", "\\", "\u202e"}
        given = as_member.get(reverse("receipt", args=[kept.pk]))
        assert "\n" not in given["Content-Disposition"]


@pytest.mark.parametrize("name", ["///", "\u202e", "../..", "a\u202efdp.exe", "…"])
def test_a_name_typed_for_a_paper_is_made_fit(
    as_member: Client, make_holding: Callable[..., Holding], name: str
) -> None:
    file = SimpleUploadedFile("x.pdf", b"%PDF-1.7")
    piece = make_holding()
    as_member.post(reverse("receipt-add", args=[piece.pk]), {"file": file, "name": name})
    kept = Receipt.objects.get().name
    assert kept.endswith(".pdf")
    assert not set(kept) & {"/", "\u202e"}


def test_a_kept_file_is_given_out_as_what_it_is_and_not_run(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    """A paper that says it is a PDF and goes on as a page is never taken for a page."""
    piece = make_holding()
    file = SimpleUploadedFile("x.html", b"%PDF-1.7<script>alert(1)</script>", "text/html")
    as_member.post(reverse("receipt-add", args=[piece.pk]), {"file": file})
    given = as_member.get(reverse("receipt", args=[Receipt.objects.get().pk]))
    assert given["Content-Type"] == "application/pdf"
    assert given["X-Content-Type-Options"] == "nosniff"
    assert "script-src 'self'" in given["Content-Security-Policy"]


# ---- failures ----
def test_the_page_of_a_failure_tells_nothing_of_the_inside(
    as_member: Client, monkeypatch: pytest.MonkeyPatch, settings: Any
) -> None:
    def fail(*args: Any) -> Any:
        raise RuntimeError(f"the key is {settings.SECRET_KEY}")

    monkeypatch.setattr("catalogue.members.queries.club", fail)
    as_member.raise_request_exception = False
    page = as_member.get("/club/")
    assert page.status_code == 500
    for inside in ("Traceback", "RuntimeError", settings.SECRET_KEY, "catalogue/members", "DEBUG"):
        assert inside not in page.content.decode()


def test_what_is_logged_of_a_failure_holds_no_key_and_nothing_that_was_sent(
    client: Client, member: Member, monkeypatch: pytest.MonkeyPatch, caplog: Any, settings: Any
) -> None:
    def fail(*args: Any, **kwargs: Any) -> Any:
        raise RuntimeError("no luck")

    monkeypatch.setattr("catalogue.members.door.views.SignInView.form_valid", fail)
    client.raise_request_exception = False
    with caplog.at_level(logging.DEBUG):
        assert _sign_in(client).status_code == 500
    assert "no luck" in caplog.text
    assert PASSWORD not in caplog.text
    assert settings.SECRET_KEY not in caplog.text


@override_settings(DEBUG=False)
def test_what_is_asked_of_the_health_address_tells_no_version(client: Client) -> None:
    said = client.get("/health/")
    assert set(json.loads(said.content)) <= {"ok", "room", "database", "pictures", "backup"}
    assert "Server" not in said.headers


def test_a_link_once_used_or_ended_is_told_from_one_made_up_by_nothing(
    client: Client, member: Member, administrator: Member
) -> None:
    older = make_reset(member, administrator)
    make_reset(member, administrator)  # which ends the older one
    ended = client.get(reverse("handed-link", args=[older]))
    made_up = client.get(reverse("handed-link", args=["m" * len(older)]))
    assert (ended.status_code, ended.content) == (made_up.status_code, made_up.content)


@pytest.mark.parametrize("weak", ["short", "password123", "1234567890123", "anastasia-lin"])
def test_passwords_are_long_uncommon_and_kept_hashed(
    as_member: Client, member: Member, weak: str
) -> None:
    Member.objects.filter(pk=member.pk).update(name="Anastasia Lind")
    sent = {"old_password": PASSWORD, "new_password1": weak, "new_password2": weak}
    page = as_member.post(reverse("account-password"), sent)
    assert "new_password2" in page.context["form"].errors
    good = "quite a few letters"
    as_member.post(
        reverse("account-password"), sent | {"new_password1": good, "new_password2": good}
    )
    member.refresh_from_db()
    assert member.check_password(good)
    assert good not in member.password


def test_passwords_are_hashed_slowly(tmp_path: Path) -> None:
    """The suite hashes them quickly, the site does not."""
    (first, *_others) = _settings_of(tmp_path, ["PASSWORD_HASHERS"])["PASSWORD_HASHERS"]
    assert first == "django.contrib.auth.hashers.PBKDF2PasswordHasher"
