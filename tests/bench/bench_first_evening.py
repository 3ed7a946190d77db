"""Keystrokes and clicks to enter twenty coins of a country no pack describes, from nothing.

Run ``python -m tests.bench first_evening`` (needs Chromium; takes about a minute). It makes
an empty site in a folder of its own, signs a member in, and enters eight types of an invented
country and twenty pieces of them in a real browser, as a person would who knows the forms: by
typing, by one or two Tabs or a click from field to field (Tab chooses what stands there, else
Control+A does), and by one click for each link, button or tick and two for a choice from a list.
What the page itself puts in costs nothing; signing in is not counted. At the end the records are
compared with what was meant: it stops if one differs.

``--tree FOLDER`` measures the code of another checkout of the same repository. The steps are
functions of a ``Hands``, so that a script for older forms can import this one and put in its own.
"""

from __future__ import annotations

import argparse
import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from tests.bench.goals import Goal, tell
from tests.bench.tables import lay_tables

HERE = Path(__file__).resolve().parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
COUNTRY, MAIN, SMALL, HOW_MANY = "Sker Rocks", "marl", "tinne", 100


Piece = tuple[int, str, str]
"""A piece by the number of its type, its date, its grade."""


@dataclass(frozen=True)
class Kind:
    """A type as its owner knows it: value, dates, metal, millimetres, grams."""

    value: str
    dates: str
    metal: str
    mm: str
    grams: str


KINDS = (
    Kind("1 tinne", "1921-29", "bronze", "16", "1.8"),
    Kind("5 tinne", "1921-29", "bronze", "19.5", "3.2"),
    Kind("10 tinne", "1922, 1924-27", "Cu75Ni25", "18", "2.6"),
    Kind("25 tinne", "1922-28", "Cu75Ni25", "23.5", "5.4"),
    Kind("50 tinne", "1923, 1926", "silver 500", "26", "7.5"),
    Kind("1 marl", "1923", "silver 835", "31", "15"),
    Kind("2 tinne", "1941-43", "zinc", "17", "1.6"),
    Kind("20 tinne", "1941-44", "zinc", "22", "3.9"),
)
PIECES = (
    (0, "1921", "F"), (0, "1923", "VF"), (0, "1929", "F"), (1, "1921", "VG"), (1, "1922", "F"),
    (1, "1928", "VF"), (2, "1922", "VF"), (2, "1925", "F"), (3, "1922", "EF"), (3, "1924", "VF"),
    (3, "1926", "F"), (3, "1928", "VF"), (4, "1923", "F"), (4, "1926", "EF"), (5, "1923", "VF"),
    (6, "1941", "F"), (6, "1943", "VG"), (7, "1941", "F"), (7, "1942", "F"), (7, "1944", "VF"),
)  # fmt: skip


DATES = (9, 9, 5, 7, 2, 1, 3, 4)  # of each type
GOALS = {"a coin": Goal("keystrokes and clicks a coin, a new country", at_most=30)}
MOST_TABS = 2
TABS_TO = """field => {
  const all = [...document.querySelectorAll("a[href], button, input, select, textarea, summary")]
    .filter((one) => one.type !== "hidden" && one.tabIndex >= 0 && one.checkVisibility());
  const here = all.indexOf(document.activeElement);
  return here < 0 ? -1 : all.indexOf(field) - here;
}"""
ALL_CHOSEN = "f => f.selectionStart === 0 && f.selectionEnd === f.value.length"


class Hands:
    """A person at a page, whose keystrokes and clicks are counted."""

    def __init__(self, page: Page) -> None:
        self.page, self.keys, self.clicks = page, 0, 0

    def write(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.keys += len(text)

    def press(self, key: str) -> None:
        self.page.keyboard.press(key)
        self.keys += 1

    def click(self, target: Any) -> None:
        target.click()
        self.clicks += 1

    def go(self, name: str) -> None:
        """To the field of this name: by Tab if it is next or next but one, else by a click."""
        field = self.page.locator(f"[name={name}]:visible").first
        ahead = field.evaluate(TABS_TO)
        if 0 <= ahead <= MOST_TABS:
            for _step in range(ahead):
                self.press("Tab")
        else:
            self.click(field)

    def fill(self, name: str, text: str) -> None:
        """Write into a field, over what stands there; nothing to do where that is right."""
        field = self.page.locator(f"[name={name}]").first
        if field.input_value() == text:
            return
        self.go(name)
        if not field.evaluate(ALL_CHOSEN):
            self.press("Control+a")
        self.write(text)

    def choose(self, name: str, label: str) -> None:
        """Open a list and choose: two clicks."""
        self.page.locator(f"[name={name}]").select_option(label=label)
        self.clicks += 2

    def follow(self, target: Any) -> None:
        with self.page.expect_navigation():
            self.click(target)

    def enter(self) -> None:
        with self.page.expect_navigation():
            self.press("Enter")


# ---- the steps ----
def make_types(hands: Hands, kinds: Sequence[Kind] = KINDS) -> None:
    """From the countries' page: the first type begins the country, each other starts from one."""
    page = hands.page
    hands.follow(page.get_by_role("navigation", name="Main").get_by_role("link", name="Countries"))
    hands.follow(page.get_by_role("link", name="Begin with a coin"))
    for number, kind in enumerate(kinds):
        if number == 0:
            hands.fill("country", COUNTRY)
        # A figure alone is in the unit of the type that this one starts from.
        unit_stands = page.locator("[name=value]").input_value().endswith(kind.value.split()[1])
        hands.fill("value", kind.value.split()[0] if unit_stands else kind.value)
        if number == 0:
            page.locator("[name=money]").wait_for(state="visible")
            hands.click(page.locator("[name=begin]"))
            hands.fill("money", f"1 {MAIN} = {HOW_MANY} {SMALL}")
        hands.fill("dates", kind.dates)
        hands.fill("composition", kind.metal)
        hands.fill("diameter_mm", kind.mm)
        hands.fill("mass_g", kind.grams)
        last = kind is kinds[-1]
        name = "Save the type" if last else "Save, next like it"
        hands.follow(page.get_by_role("button", name=name, exact=True))


def enter_pieces(hands: Hands, pieces: Sequence[Piece] = PIECES) -> None:
    """By quick entry, a line a piece: coin, date, grade; of the coin before, date and grade."""
    page = hands.page
    hands.follow(page.get_by_role("navigation", name="Main").get_by_role("link", name="Holdings"))
    hands.follow(page.get_by_role("link", name="Enter a piece").first)
    before = -1
    for number, date, grade in pieces:
        value = KINDS[number].value
        words = f"{date} {grade}" if number == before else f"{value} {date} {grade}"
        hands.fill("type_text", words)
        _take_option(hands, value)
        hands.enter()
        before = number


def _take_option(hands: Hands, value: str) -> None:
    """The suggestion of this value: Enter takes the first; Down goes to it and then on."""
    options = hands.page.locator("#type-options [role=option]")
    options.filter(has_text=value).first.wait_for()
    hands.page.wait_for_function(
        "() => document.querySelector('#type-options [aria-selected=true]')"
    )
    texts = [" ".join(text.split()) for text in options.all_inner_texts()]
    place = next(n for n, text in enumerate(texts) if f" {text}".find(f" {value}") >= 0)
    for _step in range(place + 1 if place else 0):
        hands.press("ArrowDown")
    hands.press("Enter")


# ---- the site ----
@contextmanager
def site(tree: Path) -> Iterator[tuple[str, str, Callable[[str], str]]]:
    """An empty site of a checkout: its address, the password of ``ana``, and its shell."""
    with tempfile.TemporaryDirectory() as folder, socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
        free.close()
        address, password = f"http://127.0.0.1:{port}", secrets.token_urlsafe(12)
        env = os.environ | {"EXERGUE_VAR": folder, "EXERGUE_SITE": address}
        manage = [sys.executable, "manage.py"]

        def shell(code: str) -> str:
            done = subprocess.run(
                [*manage, "shell", "--no-imports", "-c", code],
                cwd=tree, env=env, check=True, capture_output=True, text=True,
            )  # fmt: skip
            return done.stdout

        lay_tables(folder)
        shell(
            "from catalogue.models import Member\n"
            "from django.core.management import call_command\n"
            "call_command('migrate', verbosity=0)\n"
            f"Member.objects.create_user('ana', {password!r}, role='administrator', name='Ana')"
        )
        served = subprocess.Popen(
            [*manage, "serve", "--port", str(port), "--no-worker"],
            cwd=tree, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        try:
            _wait_for(address)
            yield address, password, shell
        finally:
            served.terminate()
            served.wait()


def _wait_for(address: str) -> None:
    for _try in range(200):
        try:
            urllib.request.urlopen(address)
        except urllib.error.HTTPError:
            return
        except OSError:
            time.sleep(0.2)
        else:
            return
    raise SystemExit("The site did not start.")


STORED = """
import json
from catalogue.models import Holding
from series.models import CoinType
types = [[t.series.issuer.name, t.denomination.name, t.composition, float(t.diameter_mm),
          float(t.mass_g), t.issues.count()] for t in CoinType.objects.order_by("pk")]
held = [[h.coin_type.denomination.name, h.issue.shown, h.grade]
        for h in Holding.objects.order_by("pk")]
print(json.dumps([types, held]))
"""


def check(stored: str, kinds: Sequence[Kind] = KINDS, pieces: Sequence[Piece] = PIECES) -> None:
    """Stop if the records are not what was meant."""
    types, held = json.loads(stored.strip().splitlines()[-1])
    meant = [
        [COUNTRY, kind.value, kind.metal, float(kind.mm), float(kind.grams), count]
        for kind, count in zip(kinds, DATES, strict=False)
    ]
    if types != meant:
        raise SystemExit(f"The types are not those that were meant: {types}")
    if held != [[KINDS[n].value, date, grade] for n, date, grade in pieces]:
        raise SystemExit(f"The pieces are not those that were meant: {held}")


def measure(
    tree: Path,
    make: Callable[[Hands], None],
    enter: Callable[[Hands], None] = enter_pieces,
    kinds: Sequence[Kind] = KINDS,
    pieces: Sequence[Piece] = PIECES,
) -> float:
    """Keystrokes and clicks a coin, told and given back."""
    if CHROMIUM is None:
        raise SystemExit("Chromium is not installed.")
    with site(tree) as (address, password, shell), sync_playwright() as playwright:
        flags = ["--no-sandbox", "--disable-gpu"]
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=flags)
        page = browser.new_page(base_url=address, viewport={"width": 1440, "height": 900})
        page.set_default_timeout(20_000)
        page.goto("/")
        page.get_by_label("Sign-in name").fill("ana")
        page.get_by_label("Password").fill(password)
        with page.expect_navigation():
            page.get_by_role("button", name="Sign in").click()
        hands = Hands(page)
        shown = []
        for title, step in (("making the types", make), ("entering the pieces", enter)):
            keys, clicks = hands.keys, hands.clicks
            step(hands)
            shown.append((title, hands.keys - keys, hands.clicks - clicks))
        browser.close()
        check(shell(STORED), kinds, pieces)
    shown.append(("together", hands.keys, hands.clicks))
    coins = len(pieces)
    for title, keys, clicks in shown:
        a_coin = (keys + clicks) / coins
        print(f"{title:22}{keys:6} keystrokes {clicks:5} clicks {a_coin:7.1f} a coin")
    return a_coin


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--tree", type=Path, default=HERE, help="a checkout to measure")
    asked.add_argument("--tiny", action="store_true", help="two types and four pieces")
    given = asked.parse_args()
    kinds, pieces = (KINDS[:2], PIECES[:4]) if given.tiny else (KINDS, PIECES)
    a_coin = measure(
        given.tree,
        lambda hands: make_types(hands, kinds),
        lambda hands: enter_pieces(hands, pieces),
        kinds,
        pieces,
    )
    tell(GOALS, {"a coin": a_coin})
