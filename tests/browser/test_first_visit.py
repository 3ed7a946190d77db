"""What a first visit to the plate moves over the network of a phone, in bytes.

The server runs as it is really run. The network is slow, as a phone's may be; no time is measured.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.served import PATIENCE, Served, manage

MOST = 250_000
PASSWORD = "nine gulls on a roof"
SLOW = {"offline": False, "latency": 150, "downloadThroughput": 400_000, "uploadThroughput": 90_000}
MEMBER_WITH_COINS = f"""
from catalogue.models import Holding, Member
from django.core.management import call_command
from series.models import Issue
call_command("load_pack", "fixtures/packs/halvern", verbosity=0)
ana = Member.objects.create_user("ana", password="{PASSWORD}", name="Ana")
issues = Issue.objects.filter(fact="struck").select_related("coin_type").order_by("pk")[:120]
for number, issue in enumerate(issues):
    Holding.objects.create(
        owner=ana, accession=f"A.{{number:03}}", coin_type=issue.coin_type, issue=issue
    )
"""


@pytest.fixture
def served(tmp_path: Path, with_tables: Callable[[Path], Path]) -> Iterator[Served]:
    with_tables(tmp_path)
    done = manage(tmp_path, "shell", "-v0", "-c", MEMBER_WITH_COINS)
    assert done.returncode == 0, done.stderr
    server = Served(tmp_path, "--no-worker")
    server.wait_for("served at")
    yield server
    server.end()


def signed_in(chromium: Any, site: str) -> list[Any]:
    """The cookies of a member, from a browser that is then closed with all it kept."""
    context = chromium.new_context(base_url=site)
    page = context.new_page()
    page.set_default_timeout(PATIENCE * 1000)
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("ana")
    page.get_by_label("Password").fill(PASSWORD)
    with page.expect_navigation():
        page.get_by_role("button", name="Sign in").click()
    cookies: list[Any] = context.cookies()
    context.close()
    return cookies


def bytes_of_first_visit(chromium: Any, site: str, path: str) -> dict[str, int]:
    """Bytes on the wire, headers included, by kind of what was asked for."""
    context = chromium.new_context(base_url=site, viewport={"width": 390, "height": 844})
    context.add_cookies(signed_in(chromium, site))
    page = context.new_page()
    page.set_default_timeout(PATIENCE * 1000)
    kinds: dict[str, str] = {}
    moved: dict[str, int] = {}

    def finish(event: Any) -> None:
        kind = kinds[event["requestId"]]
        moved[kind] = moved.get(kind, 0) + int(event["encodedDataLength"])

    network = context.new_cdp_session(page)
    network.on("Network.responseReceived", lambda e: kinds.update({e["requestId"]: e["type"]}))
    network.on("Network.loadingFinished", finish)
    network.send("Network.enable")
    network.send("Network.emulateNetworkConditions", SLOW)
    page.goto(path, wait_until="networkidle")
    page.evaluate("document.fonts.ready")
    assert page.locator(".plate-coins a").count() > 20
    context.close()
    return moved


def test_a_first_visit_to_the_plate_is_light_before_the_coins(
    served: Served, chromium: Any
) -> None:
    moved = bytes_of_first_visit(chromium, f"http://127.0.0.1:{served.port}", "/holdings/")
    assert moved["Font"] > 20_000  # the fonts did come
    assert sum(moved.values()) - moved.get("Image", 0) <= MOST, moved
