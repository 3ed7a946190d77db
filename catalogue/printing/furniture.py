"""What every sheet carries at its foot and head: page x of y, a 50 mm rule, a running head.

The rule is there to check the printer by: a ruler laid on it must read 50 mm, else the printer
was set to "fit to page". Lengths in mm from the top left corner.

>>> lines = check_rule(20, 280)
>>> lines[0].x2 - lines[0].x1, len(lines)
(50, 7)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.printing import words
from catalogue.printing.geometry import Line, Paper, Text
from catalogue.printing.lettering import Lettering, text_width, wrap
from series.text.words import years_text

RULE = 50
TICK = 1.0

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


MARGINS = Margins()


def check_rule(x: float, y: float) -> tuple[Line, ...]:
    """A rule of 50 mm from (x, y) to the right, with a tick every 10 mm."""
    ticks = [
        Line(x + at, y - (1.5 if at in (0, RULE) else 1) * TICK, x + at, y, "rule")
        for at in range(0, RULE + 1, 10)
    ]
    return (Line(x, y, x + RULE, y, "rule"), *ticks)


def foot(
    paper: Paper, margins: Margins, number: int, total: int
) -> tuple[tuple[Line, ...], tuple[Text, ...]]:
    """Rule and page number of one page."""
    y = paper.height - margins.bottom + 9
    right = paper.width - margins.right
    level = y - FOOT.line_height + 0.8
    count = words.page_of(number, total)
    return check_rule(margins.left, y), (
        Text("rule", margins.left + RULE + 3, level, 80, (words.RULE,), FOOT),
        Text("page", right - 40, level, 40, (count,), FOOT_RIGHT),
    )


def running_head(
    paper: Paper, margins: Margins, left: str, right: str
) -> tuple[tuple[Line, ...], tuple[Text, ...]]:
    """Title on the left, a short note on the right, a thin line under both.

    The note has the room it needs up to the half; a title too long for the rest ends in "…".
    """
    width = paper.width - margins.left - margins.right
    y = margins.top + RUNNING.line_height + 1
    note = one_line(right, RUNNING_RIGHT, width / 2)
    taken = text_width(note, RUNNING_RIGHT) + 4 if note else 0.0
    title = one_line(left, RUNNING, width - taken)
    texts = [Text("running", margins.left, margins.top, width - taken, (title,), RUNNING)]
    if note:
        start = margins.left + width - taken
        texts.append(Text("running-note", start, margins.top + 0.2, taken, (note,), RUNNING_RIGHT))
    return (Line(margins.left, y, margins.left + width, y, "thin"),), tuple(texts)


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
    span = words.between(names[0], names[-1]) if len(names) > 1 else ""
    period = years_text(min(years), max(years), short=False) if years else ""
    return ", ".join(filter(None, (span or "".join(names), period)))
