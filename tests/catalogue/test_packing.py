"""Text goes out packed; what is packed already, and what holds a secret, goes out as it is."""

from __future__ import annotations

import gzip
from pathlib import Path
from typing import Any

import pytest
from django.http import HttpResponse, HttpResponseBase
from django.test import Client, RequestFactory

from catalogue.models import Member
from catalogue.site.packing import PackText

ROOT = Path(__file__).parents[2]
TAKES = {"Accept-Encoding": "gzip, br"}
LONG = "a long text " * 100


def body(answer: Any) -> bytes:
    return b"".join(answer.streaming_content) if answer.streaming else answer.content


def test_a_page_is_packed_for_who_takes_it(as_member: Client) -> None:
    packed = as_member.get("/", headers=TAKES)
    assert packed["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed["Vary"]
    assert b"Nothing is entered yet" in gzip.decompress(packed.content)
    assert "Content-Encoding" not in as_member.get("/").headers


def test_the_stylesheet_is_packed_and_not_sent_again_unchanged(client: Client) -> None:
    sent = client.get("/static/exergue.css", headers=TAKES)
    assert sent["Content-Encoding"] == "gzip"
    assert gzip.decompress(body(sent)) == (ROOT / "static" / "exergue.css").read_bytes()
    known = {**TAKES, "If-Modified-Since": sent["Last-Modified"]}
    if "ETag" in sent:
        known["If-None-Match"] = sent["ETag"]
    assert client.get("/static/exergue.css", headers=known).status_code == 304


def test_a_page_that_shows_a_new_link_is_not_packed(client: Client, administrator: Member) -> None:
    client.force_login(administrator, backend="django.contrib.auth.backends.ModelBackend")
    shown = client.post("/club/invite/", {"role": "member"}, headers=TAKES)
    assert "The link, shown this once" in shown.text
    assert "Content-Encoding" not in shown.headers


@pytest.mark.parametrize(
    ("kind", "status", "packed"),
    [
        ("text/csv; charset=utf-8", 200, True),
        ("image/svg+xml", 200, True),
        ("image/jpeg", 200, False),
        ("application/pdf", 200, False),
        ("font/woff2", 200, False),
        ("text/html", 206, False),
    ],
)
def test_only_whole_texts_are_packed(
    rf: RequestFactory, kind: str, status: int, packed: bool
) -> None:
    def view(request: Any) -> HttpResponseBase:
        return HttpResponse(LONG, content_type=kind, status=status)

    answer = PackText(view)(rf.get("/", headers=TAKES))
    assert answer.has_header("Content-Encoding") == packed
