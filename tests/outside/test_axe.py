"""Every page kind against WCAG 2.2 A and AA, as axe-core checks them, in a real browser.

Source: axe-core (Deque Systems, MPL 2.0; carried by the axe-playwright-python package), its rules
tagged wcag2a, wcag2aa, wcag21a, wcag21aa and wcag22aa. Each page that access_table.txt says
somebody gets is opened at a desk's and a phone's width, in light and dark. All rules are run at
each width, and those of colour again in the other scheme, since nothing else depends on it.
Beside the rules: nothing overflows at 390 px, every picture arrives, and the console stays silent
(it would speak of an error or of a breach of the content policy).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from catalogue.models import Aim, Holding, Member
from series.models import CoinType, Issuer, Series
from tests.catalogue.access_addresses import ARGUMENTS, ASKED
from tests.catalogue.access_world import World, make_world
from tests.catalogue.test_access_walk import ROWS, VIEWERS

pytestmark = pytest.mark.django_db(transaction=True)

BACKEND = "django.contrib.auth.backends.ModelBackend"
RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
    "rules": {"target-size": {"enabled": True}},
    "resultTypes": ["violations"],
    "preload": False,  # style sheets are fetched again for one rule that is off
    "iframes": False,
}
COLOURS = {
    "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]},
    "resultTypes": ["violations"],
    "preload": False,  # style sheets are fetched again for one rule that is off
    "iframes": False,
}
DESK, PHONE = {"width": 1440, "height": 900}, {"width": 390, "height": 800}
FIRST_SEEN_BY = ("owner", "curator", "administrator", "visitor")
SHARES = 4  # tests among which the pages are dealt out, so that several processes can open them


@pytest.fixture
def world(transactional_db: None) -> World:
    """One of everything, and an invented coinage with a country's worth of pages."""
    made = make_world()
    call_command("load_pack", "fixtures/packs/halvern", verbosity=0)
    types = CoinType.objects.filter(series__issuer__key="halvern").order_by("pk")
    for number, coin_type in enumerate(types[::4], 1):
        Holding.objects.create(
            owner=made.owner,
            accession=f"H.{number:03}",
            coin_type=coin_type,
            issue=coin_type.issues.first(),
            grade=("VF", "EF", "")[number % 3],
            quantity=1 + number % 2,
        )
    Aim.objects.create(owner=made.owner, name="Halvern", series=types[0].series)
    return made


def addresses(world: World) -> Iterator[tuple[str, str, str]]:
    """Name, address and viewer of every page: by the table of access, and kinds beside it."""
    for method, row, *answers in ROWS:
        got = dict(zip(VIEWERS, answers, strict=True))
        viewer = next((v for v in FIRST_SEEN_BY if got[v] == "200"), None)
        if method != "GET" or viewer is None or (":" in row and row not in ASKED):
            continue
        fill = ARGUMENTS.get(row)
        address = reverse(row.split(":")[0], kwargs=fill(world) if fill else None)
        yield row, address + (f"?{ASKED[row](world)}" if row in ASKED else ""), viewer
    halvern = Issuer.objects.get(key="halvern")
    series = Series.objects.filter(issuer=halvern).first()
    coin_type = CoinType.objects.filter(series=series).first()
    assert series is not None
    assert coin_type is not None
    for record in (halvern, series, coin_type, coin_type.denomination):
        yield f"{record.key}", record.get_absolute_url(), "owner"
    for name in ("country-timeline", "country-motifs"):
        yield f"halvern {name}", reverse(name, args=["halvern"]), "owner"
    for query in (
        "view=list",
        "view=dates",
        "owner=any&status=any",
        f"series={series.pk}&gaps=1",
        f"series={series.pk}&view=dates",
        "q=nothing+has+this",
    ):
        yield f"holdings {query}", f"{reverse('holdings')}?{query}", "owner"
    yield "no such page", "/holdings/999999/", "owner"
    yield "nothing yet: home", "/", "newcomer"
    yield "nothing yet: holdings", reverse("holdings"), "newcomer"
    yield "nothing yet: wants", reverse("wants"), "newcomer"
    yield "nothing yet: worth", reverse("worth"), "newcomer"


class Viewer:
    """One reader's page in the browser, and what it complained of since last asked."""

    def __init__(self, page: Any, member: Member | None) -> None:
        self.page = page
        self.client = Client()
        self.heard: list[str] = []
        if member is not None:
            self.client.force_login(member, backend=BACKEND)
        page.on("pageerror", lambda error: self.heard.append(f"script: {error}"))
        page.on("console", self._listen)
        page.on("requestfailed", lambda request: self.heard.append(f"not loaded: {request.url}"))
        page.on("response", self._receive)

    def _listen(self, line: Any) -> None:
        if line.type in {"error", "warning"} and "Failed to load resource" not in line.text:
            self.heard.append(f"console: {line.text}")

    def _receive(self, response: Any) -> None:
        if response.status >= 400 and not response.request.is_navigation_request():
            self.heard.append(f"{response.status}: {response.url}")

    def gets_a_page(self, address: str) -> bool:
        """Whether the answer is a whole page, not a file or a part for the script."""
        answer = self.client.get(address)
        return (
            answer["Content-Type"].startswith("text/html")
            and b"<!doctype html>" in answer.content[:200].lower()
        )

    def complaints(self, address: str) -> list[str]:
        """All that is wrong with the page at an address."""
        page = self.page
        self.heard.clear()
        page.set_viewport_size(DESK)
        page.emulate_media(color_scheme="light")
        page.goto(address)
        found = broken_rules(page, RULES, "desk, light")
        page.emulate_media(color_scheme="dark")
        found += broken_rules(page, COLOURS, "desk, dark")
        page.set_viewport_size(PHONE)
        found += broken_rules(page, RULES, "phone, dark")
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > PHONE["width"]:
            found.append(f"{width} px wide on a phone")
        page.emulate_media(color_scheme="light")
        found += broken_rules(page, COLOURS, "phone, light")
        found += page.evaluate(
            "[...document.images].filter(i => !i.complete || !i.naturalWidth)"
            ".map(i => 'no picture: ' + i.src)"
        )
        return found + self.heard


def broken_rules(page: Any, options: dict[str, Any], when: str) -> list[str]:
    if not page.evaluate("typeof axe !== 'undefined'"):
        page.evaluate(Axe().axe_script)
    results = page.evaluate("options => axe.run(options)", options)
    return [
        f"{when}: {broken['id']}: {node['html'][:120]}"
        + "".join(f" ({check['message']})" for check in node["any"][:1])
        for broken in results["violations"]
        for node in broken["nodes"][:3]
    ]


BAD = """<!doctype html><html lang="en"><title>Bad</title><main><h1>Bad</h1>
<p style="color:#999;background:#fff">Pale words</p><input><img src="data:,"></main></html>"""


def test_what_breaks_the_rules_is_found(page_of: Any) -> None:
    """The check itself: pale text, a field without a label and a picture without words."""
    page = page_of(None)
    page.set_content(BAD)
    found = " ".join(broken_rules(page, RULES, "here"))
    assert [rule for rule in ("color-contrast", "image-alt", "label") if f"{rule}:" in found] == [
        "color-contrast",
        "image-alt",
        "label",
    ]


@pytest.mark.parametrize("share", range(SHARES))
def test_every_page_keeps_the_rules_of_access(
    share: int, world: World, make_member: Any, chromium: Any, page_of: Any
) -> None:
    people = {
        "owner": world.owner,
        "curator": world.curator,
        "administrator": world.administrator,
        "newcomer": make_member("newcomer"),
        "visitor": None,
    }
    viewers = {name: Viewer(page_of(person), person) for name, person in people.items()}
    walked, wrong = 0, {}
    for name, address, viewer in list(addresses(world))[share::SHARES]:
        if not viewers[viewer].gets_a_page(address):
            continue
        walked += 1
        if complaints := viewers[viewer].complaints(address):
            wrong[name] = complaints
    assert wrong == {}, "\n".join(f"{n}:\n  " + "\n  ".join(c) for n, c in wrong.items())
    assert walked > 60 / SHARES
