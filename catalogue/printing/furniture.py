"""What every sheet carries at its foot and head: page x of y, a 50 mm rule, a running head.

The rule is there to check the printer by: a ruler laid on it must read 50 mm, else the printer
was set to "fit to page". Lengths in mm from the top left corner.

>>> lines = check_rule(20, 280)
>>> lines[0].x2 - lines[0].x1, len(lines)
(50, 7)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.printing import words
from catalogue.printing.geometry import Line, Page, Paper, Text
from catalogue.printing.lettering import Lettering, text_width, wrap
from series.text.words import years_text

RULE = 50
TICK = 1.0

RUNNING_HEIGHT = 9.0  # from the top of a later page to what stands under its running head

FOOT = Lettering("foot", "sans", 7.5, colour="muted")
FOOT_RIGHT = Lettering("foot-right", "sans", 7.5, colour="muted", align="right")
RUNNING = Lettering("running", "serif", 9, weight=600)
RUNNING_RIGHT = Lettering("running-right", "sans", 8, colour="muted", align="right")


@dataclass(frozen=True)
class Margins:
    """Blank edges of a page, mm. The foot stands in the lower one."""

    left: float = 18.0
    right: float = 15.0
    top: float = 15.0
    bottom: float = 20.0


def check_rule(x: float, y: float) -> tuple[Line, ...]:
    """A rule of 50 mm from (x, y) to the right, with a tick every 10 mm."""
    ticks = [
        Line(x + at, y - (1.5 if at in (0, RULE) else 1) * TICK, x + at, y, "rule")
        for at in range(0, RULE + 1, 10)
    ]
    return (Line(x, y, x + RULE, y, "rule"), *ticks)


def foot(page: Page, margins: Margins) -> None:
    """Put the rule and the page number on a page."""
    y = page.paper.height - margins.bottom + 9
    right = page.paper.width - margins.right
    level = y - FOOT.line_height + 0.8
    count = words.page_of(page.number, page.total)
    page.lines += check_rule(margins.left, y)
    page.texts += [
        Text("rule", margins.left + RULE + 3, level, 80, (words.RULE,), FOOT),
        Text("page", right - 40, level, 40, (count,), FOOT_RIGHT),
    ]


def running_head(page: Page, margins: Margins, left: str, right: str) -> None:
    """Put a title on the left, a short note on the right, and a thin line under both.

    The note has the room it needs up to the half; a title too long for the rest ends in "…".
    """
    width = page.paper.width - margins.left - margins.right
    y = margins.top + RUNNING.line_height + 1
    note = one_line(right, RUNNING_RIGHT, width / 2)
    taken = text_width(note, RUNNING_RIGHT) + 4 if note else 0.0
    title = one_line(left, RUNNING, width - taken)
    page.lines.insert(0, Line(margins.left, y, margins.left + width, y, "thin"))
    texts = [Text("running", margins.left, margins.top, width - taken, (title,), RUNNING)]
    if note:
        x, level = margins.left + width - taken, margins.top + 0.2
        texts.append(Text("running-note", x, level, taken, (note,), RUNNING_RIGHT))
    page.texts[:0] = texts  # it is read first


class Filling:
    """Pages of one paper, filled from top to bottom; ``y`` is how far down the last one is full."""

    def __init__(self, paper: Paper, margins: Margins, running: float = RUNNING_HEIGHT) -> None:
        self.paper, self.margins = paper, margins
        self.left, self.right = margins.left, paper.width - margins.right
        self.width = self.right - self.left
        self.bottom = paper.height - margins.bottom
        self.overleaf = margins.top + running
        self.pages = [Page(paper)]
        self.y = margins.top

    @property
    def page(self) -> Page:
        return self.pages[-1]

    def turn(self) -> None:
        """A new page, under its running head."""
        self.pages.append(Page(self.paper))
        self.y = self.overleaf

    def put(
        self,
        key: str,
        x: float,
        y: float,
        width: float,
        lines: str | Sequence[str],
        how: Lettering,
        tag: str = "p",
    ) -> float:
        """Text in a place on the last page; returns its height. What says nothing is left out."""
        broken = (lines,) if isinstance(lines, str) else tuple(lines)
        placed = Text(key, x, y, width, broken, how, tag)
        if any(broken):
            self.page.texts.append(placed)
        return placed.height

    def flow(
        self,
        key: str,
        text: str,
        how: Lettering,
        tag: str = "p",
        *,
        width: float = math.inf,
        least: int = 1,
    ) -> None:
        """A paragraph at the present height, over the page where fewer lines than ``least`` fit."""
        width = min(width, self.width)
        lines = wrap(text, how, width) if text else ()
        while lines:
            fit = int((self.bottom - self.y) / how.line_height + 1e-6)
            if fit < min(least, len(lines)):
                self.turn()
                continue
            self.y += self.put(key, self.left, self.y, width, lines[:fit], how, tag)
            lines = lines[fit:]

    def rule(self, look: str = "thin") -> None:
        """A line over the whole width at the present height."""
        self.page.lines.append(Line(self.left, self.y, self.right, self.y, look))

    def note(self, number: int) -> str:
        """What the running head of the page with this number says on the right."""
        return ""

    def furnished(self, title: str, before: int = 0, total: int = 0) -> tuple[Page, ...]:
        """The pages with their numbers, feet and running heads.

        ``before`` and ``total`` count the pages of other parts of the document.
        """
        total = total or before + len(self.pages)
        for number, page in enumerate(self.pages):
            page.number, page.total = before + number + 1, total
            if number:
                running_head(page, self.margins, title, self.note(number))
            foot(page, self.margins)
        return tuple(self.pages)


def one_line(text: str, lettering: Lettering, width: float) -> str:
    """A text on one line: as many of its words as fit, with "…" where some are left out.

    >>> one_line("Islands of Halvern", RUNNING, 20)
    'Islands of…'
    """
    lines = wrap(" ".join(text.split()), lettering, width)
    if len(lines) < 2:
        return "".join(lines)
    return wrap(text, lettering, width - text_width("…", lettering))[0].rstrip(" ,;·–") + "…"


def shown_in_words(shown: Sequence[tuple[str, int | None]]) -> str:
    """What pockets (heading of the row and year) show: "5 tinne to 1 marl, 1931–1959".

    >>> shown_in_words([("5 tinne", 1931), ("5 tinne", 1959), ("1 marl", None)])
    '5 tinne to 1 marl, 1931–1959'
    """
    headings = [heading for heading, _year in shown if heading]
    years = [year for _heading, year in shown if year is not None]
    names = list(dict.fromkeys([*headings[:1], *headings[-1:]]))
    span = words.between(*names)
    period = years_text(min(years), max(years), short=False) if years else ""
    return ", ".join(filter(None, (span, period)))
