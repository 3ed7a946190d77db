"""The front page, the health address, the log and what every page sends along."""

from __future__ import annotations

import io
import logging
import logging.config
import os
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as site_settings
from django.core.files.storage import Storage
from django.db import DatabaseError, connection
from django.http import Http404, HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from django.urls import reverse

from catalogue.models import Aim, Holding, Member, Place, Proposal, Reservation
from catalogue.site.redaction import RedactingFormatter
from catalogue.site.secret_pages import secret_page

ROOT = Path(__file__).parents[2]


# ---- front page ----
def test_the_front_page_asks_a_visitor_to_sign_in(client: Client, db: None) -> None:
    response = client.get("/")
    assert response.status_code == 302
    assert response["Location"] == "/sign-in/?next=/"
    assert b"Exergue is a catalogue of coins" in client.get("/sign-in/").content


def test_a_new_collection_is_told_what_to_do_first(as_member: Client) -> None:
    page = as_member.get("/")
    assert page.status_code == 200
    assert b"Nothing is entered yet" in page.content


def test_the_front_page_counts_and_shows_what_was_added_last(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    make_holding(quantity=3)
    newest = make_holding()
    page = as_member.get("/")
    assert page.context["recent"][0].holding == newest
    assert (page.context["records"], page.context["pieces"]) == (2, 4)
    assert b"Nothing is entered yet" not in page.content


def test_the_front_page_leads_to_what_is_not_identified(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    make_holding()
    make_holding(coin_type=None, title="a worn disc")
    page = as_member.get("/").text
    found = re.search(r'<a href="([^"]*)"><b>1</b> <span>unidentified</span>', page)
    assert found is not None
    response = as_member.get(found[1].replace("&amp;", "&"))
    assert "a worn disc" in response.text
    assert "T.001" not in response.text
    assert "not identified" in response.text


def test_the_front_page_says_how_far_an_aim_has_come(
    as_member: Client, make_holding: Callable[..., Holding], member: Member, coinage: Any
) -> None:
    make_holding(issue=coinage.issues[0])
    Aim.objects.create(owner=member, name="All the dates", coin_type=coinage.type)
    page = as_member.get("/").content
    assert b"All the dates" in page
    assert b"1 of 3 held, 2 missing" in page


def test_the_front_page_says_what_to_do_and_leads_to_exactly_these_pieces(
    as_member: Client, make_holding: Callable[..., Holding], member: Member, other: Member
) -> None:
    box = Place.objects.create(owner=member, name="Box", path="Box")
    make_holding(place=box)
    make_holding(coin_type=None, title="a worn disc")
    make_holding(owner=other, coin_type=None)
    make_holding(place=box, status="on_loan")
    lines = {line.text: line for line in as_member.get("/").context["to_do"]}
    assert {text: line.count for text, line in lines.items()} == {
        "unidentified": 1,
        "without a picture": 3,
        "without a place": 1,
        "without a value": 3,
        "on loan": 1,
    }
    for text in ("unidentified", "without a picture", "without a place", "on loan"):
        found = as_member.get(lines[text].address).context["browse"].result.total
        assert found == lines[text].count


def test_the_front_page_puts_a_waiting_promise_first(
    as_member: Client, make_holding: Callable[..., Holding], other: Member, coinage: Any
) -> None:
    spare = make_holding(spare=True)
    promise = Reservation.objects.create(holding=spare, wanted_by=other, coin_type=coinage.type)
    made = promise.made_at - timedelta(days=70)
    Reservation.objects.filter(pk=promise.pk).update(made_at=made)
    first = as_member.get("/").context["to_do"][0]
    assert (first.count, first.text) == (1, "promised spare to hand over")
    assert first.note == "1 for two months or more"


def test_the_front_page_says_nothing_of_what_is_nought(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    make_holding()
    assert all(line.count for line in as_member.get("/").context["to_do"])
    assert "unidentified" not in as_member.get("/").text


@pytest.mark.parametrize(("who", "invites"), [("administrator", True), ("member", False)])
def test_an_empty_front_page_offers_what_one_may_do(
    client: Client, request: pytest.FixtureRequest, who: str, invites: bool
) -> None:
    client.force_login(
        request.getfixturevalue(who), backend="django.contrib.auth.backends.ModelBackend"
    )
    page = client.get("/").text
    assert "Begin your first country" in page
    assert ("Invite the others" in page) is invites
    assert ("Choose packs" in page) is invites


def test_a_curator_is_told_that_proposals_wait(
    client: Client, curator: Member, other: Member, as_member: Client, coinage: Any
) -> None:
    Proposal.objects.create(coin_type=coinage.type, proposed_by=other)
    assert b"1 proposed type waits" not in as_member.get("/").content
    client.force_login(curator, backend="django.contrib.auth.backends.ModelBackend")
    assert b"1 proposed type waits" in client.get("/").content


def test_the_front_page_leaves_out_what_others_hold(
    as_member: Client, make_holding: Callable[..., Holding], other: Member
) -> None:
    make_holding(owner=other)
    assert as_member.get("/").context["recent"] == []


def test_the_front_page_costs_the_same_for_many(
    as_member: Client,
    make_holding: Callable[..., Holding],
    django_assert_max_num_queries: Any,
) -> None:
    def queries() -> int:
        as_member.get("/")  # brings the columns in memory up to date
        with django_assert_max_num_queries(30) as seen:
            as_member.get("/")
        return len(seen)

    make_holding()
    make_holding()
    few = queries()
    for _ in range(10):
        make_holding()
    assert queries() == few


# ---- health ----
def test_health_is_well_and_needs_no_sign_in(client: Client, db: None) -> None:
    response = client.get(reverse("health"))
    assert (response.status_code, response.json()) == (
        200,
        {"ok": True, "room": "enough", "backup": "recent"},
    )
    assert "no-store" in response["Cache-Control"]


def test_health_says_so_when_the_database_does_not_answer(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*args: Any) -> None:
        raise DatabaseError("password of the database")

    with monkeypatch.context() as broken:
        broken.setattr(connection, "cursor", fail)
        response = client.get(reverse("health"))
    assert (response.status_code, response.json()) == (503, {"ok": False, "room": "enough"})


def test_health_says_so_when_no_picture_can_be_stored(
    client: Client, db: None, settings: Any, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("not a folder")
    settings.MEDIA_ROOT = tmp_path / "file" / "media"
    assert client.get(reverse("health")).status_code == 503


def test_health_says_what_it_does_not_know_of_a_store_without_a_folder(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Django's documentation: a storage that is no folder leaves ``path`` undone."""
    monkeypatch.setattr("catalogue.site.health.default_storage", Storage())
    response = client.get(reverse("health"))
    assert (response.status_code, response.json()["pictures"]) == (200, "not known")


# ---- what goes wrong ----
def test_a_form_opened_before_signing_in_is_refused_in_words(db: None) -> None:
    page = Client(enforce_csrf_checks=True).post(reverse("sign-in"), {"username": "ana"})
    assert page.status_code == 403
    assert b"load the page anew and send it again" in page.content


def test_a_form_too_large_is_refused_in_words(as_member: Client, settings: Any) -> None:
    settings.DATA_UPLOAD_MAX_NUMBER_FIELDS = 3
    page = as_member.post(reverse("account"), {f"field{n}": "" for n in range(9)})
    assert page.status_code == 400
    assert b"Nothing was changed" in page.content


# ---- secret addresses ----
def _logged(say: Callable[[logging.Logger], None]) -> str:
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    handler.setFormatter(RedactingFormatter("%(message)s"))
    logger = logging.getLogger("test-of-redaction")
    logger.addHandler(handler)
    try:
        say(logger)
    finally:
        logger.removeHandler(handler)
    return out.getvalue()


def test_a_logged_address_keeps_its_secret() -> None:
    text = _logged(lambda log: log.warning("Not Found: %s", "/list/tok3n_-x/csv/"))
    assert text == "Not Found: /list/…/csv/\n"


def test_a_logged_traceback_keeps_the_secret() -> None:
    def say(log: logging.Logger) -> None:
        try:
            raise Http404({"path": "link/tok3n_-x/"})
        except Http404:
            log.exception("Exception while serving %s", "/link/tok3n_-x/")

    text = _logged(say)
    assert "Traceback" in text
    assert "tok3n" not in text


def test_a_list_that_is_not_there_is_kept_nowhere_either(client: Client, db: None) -> None:
    page = client.get("/list/made-up/")
    assert page.status_code == 404
    assert page["Referrer-Policy"] == "strict-origin"


def test_every_log_of_the_site_goes_through_the_redaction() -> None:
    formatters = {
        name: handler.get("formatter")
        for name, handler in site_settings.LOGGING["handlers"].items()
    }
    assert set(formatters.values()) == {"redacting"}
    code = (
        "import django, logging; django.setup();"
        "found = [h for name in ('', *logging.root.manager.loggerDict)"
        " for h in logging.getLogger(name).handlers if not isinstance(h, logging.NullHandler)];"
        "print({type(h.formatter).__name__ for h in found})"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "catalogue.settings"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "{'RedactingFormatter'}"


def test_a_secret_page_and_its_absence_are_kept_nowhere(rf: RequestFactory, db: None) -> None:
    def shown(request: HttpRequest) -> HttpResponse:
        return HttpResponse("a list")

    def missing(request: HttpRequest) -> HttpResponse:
        raise Http404

    for view, status in ((shown, 200), (missing, 404)):
        request = rf.get("/list/x/")
        response = secret_page(view)(request)
        assert response.status_code == status
        assert response["Referrer-Policy"] == "strict-origin"
        assert response["X-Robots-Tag"] == "noindex, nofollow"
        assert "no-store" in response["Cache-Control"]


# ---- content policy ----
def test_pages_send_a_strict_content_policy(as_member: Client) -> None:
    for address in ("/", reverse("account"), "/no-such-page/"):
        policy = as_member.get(address)["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self'" in policy
        assert "style-src 'self'" in policy
        assert "unsafe" not in policy


INLINE = re.compile(r"""\sstyle\s*=|<style\b|<script(?![^>]*\ssrc=)|\son[a-z]+\s*=\s*["']""", re.I)


def test_no_served_template_holds_inline_script_or_style() -> None:
    templates = [
        path
        for path in (ROOT / "templates").rglob("*.*")
        if "print" not in path.relative_to(ROOT / "templates").parts
    ]
    assert len(templates) > 20
    found = {
        f"{path.relative_to(ROOT)}: {match.group().strip()}"
        for path in templates
        for match in INLINE.finditer(path.read_text())
    }
    assert found == set()


@pytest.mark.parametrize(
    "text",
    [
        '<p style="x">',
        "<style>",
        "<script>",
        '<a onclick="x()">',
        "<script defer>",
        "<b onload = 'y'>",
    ],
)
def test_the_search_for_inline_script_and_style_finds_it(text: str) -> None:
    assert INLINE.search(text)


# ---- deployment ----
def test_deployment_checks_are_clean_for_an_https_address(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        env={
            **{
                k: v
                for k, v in os.environ.items()
                if not k.startswith(("EXERGUE", "DATABASE", "DJANGO"))
            },
            "EXERGUE_SITE": "https://coins.example.org",
            "EXERGUE_VAR": str(tmp_path),
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


@pytest.mark.parametrize("address", ["/", "/holdings/", "/countries/", "/account/", "/worth/"])
def test_what_a_member_sees_is_kept_by_no_store_between(as_member: Client, address: str) -> None:
    assert "private" in as_member.get(address)["Cache-Control"]


@pytest.mark.parametrize(("asked", "listed"), [("", False), ("1", True)])
def test_browsers_list_the_site_only_when_that_was_asked_for(asked: str, listed: bool) -> None:
    own = {k: v for k, v in os.environ.items() if k != "DJANGO_ALLOW_ASYNC_UNSAFE"}
    said = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        env={**own, "EXERGUE_SITE": "https://a.example", "EXERGUE_HSTS_PRELOAD": asked},
        capture_output=True,
        text=True,
        check=False,
    )
    assert said.returncode == 0, said.stderr
    assert f"({0 if listed else 1} silenced)" in said.stdout + said.stderr


def test_messages_are_a_list_within_what_is_announced(as_member: Client) -> None:
    """A list that is itself a status is no list to a screen reader (ARIA in HTML, W3C)."""
    as_member.post("/account/", {"currency": "EUR", "paper": "A4", "accession_pattern": "{n}"})
    page = as_member.get("/account/").content.decode()
    assert re.search(r'<div role="status">\s*<ul class="messages">\s*<li class="success">', page)
    assert not re.search(r"<ul[^>]*role=", page)
