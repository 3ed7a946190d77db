"""The dates of a type as a row of small boxes: held, missing, not struck, not recorded.

What is computed: which dates there are and whether each is held, from plain facts of issues, and
an SVG of boxes for them in pixels. Issues that show the same date are one box. Only attributes
and class names are written, never a style.

>>> boxes = date_boxes([("1931", "struck", True), ("1932", "not_struck", False),
...                     ("1933", "struck", False), ("1933", "struck", True)])
>>> [(box.label, box.state) for box in boxes]
[('1931', 'held'), ('1932', 'not_struck'), ('1933', 'held')]
>>> tally(boxes)
(2, 2)
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

PER_ROW = 12
MOST = 4 * PER_ROW
"""With more dates than this, a bar is clearer than boxes."""
STEP, WIDTH, HEIGHT, ROW = 13, 10, 9, 13


@dataclass(frozen=True)
class DateBox:
    """One date and its state: "held", "missing", "not_struck" or "not_recorded"."""

    label: str
    state: str


def date_boxes(issues: Iterable[tuple[str, str, bool]]) -> list[DateBox]:
    """One box for each date, from (date shown, "struck" / "not_struck" / "not_recorded", held)."""
    states: dict[str, str] = {}
    rank = {"not_struck": 0, "not_recorded": 1, "missing": 2, "held": 3}
    for label, fact, held in issues:
        state = "held" if held else "missing" if fact == "struck" else fact
        if label not in states or rank[state] > rank[states[label]]:
            states[label] = state
    return [DateBox(label, state) for label, state in states.items()]


def tally(boxes: Iterable[DateBox]) -> tuple[int, int]:
    """How many dates are held, of how many that were struck."""
    states = [box.state for box in boxes]
    held = states.count("held")
    return held, held + states.count("missing")


def drawn(boxes: list[DateBox], label: str, per_row: int = PER_ROW) -> str:
    """The boxes as an SVG that a screen reader reads as ``label``; a bar when there are many."""
    if len(boxes) > MOST:
        return _bar(boxes, label)
    columns = min(len(boxes), per_row)
    rows = -(-len(boxes) // per_row)
    width, height = columns * STEP - STEP + WIDTH + 1, rows * ROW - ROW + HEIGHT + 1
    shapes = "".join(
        _box(box, (n % per_row) * STEP + 0.5, (n // per_row) * ROW + 0.5)
        for n, box in enumerate(boxes)
    )
    return _svg(width, height, label, shapes)


def _box(box: DateBox, x: float, y: float) -> str:
    title = f"<title>{escape(box.label)}</title>"
    if box.state == "not_struck":
        middle = y + HEIGHT / 2
        return f'<path class="box-not_struck" d="M{x + 2:g} {middle:g}h{WIDTH - 4}">{title}</path>'
    return (
        f'<rect class="box-{box.state}" x="{x:g}" y="{y:g}" width="{WIDTH}" height="{HEIGHT}">'
        f"{title}</rect>"
    )


def _bar(boxes: list[DateBox], label: str) -> str:
    held, struck = tally(boxes)
    whole, count = 100, f"{held}/{struck}"
    done = whole * held / struck if struck else 0
    return _svg(
        whole + 6 + 8 * len(count),
        HEIGHT + 2,
        label,
        f'<rect class="box-missing" x="0.5" y="0.5" width="{whole}" height="{HEIGHT}"/>'
        f'<rect class="box-held" x="0.5" y="0.5" width="{done:.1f}" height="{HEIGHT}"/>'
        f'<text class="box-count" x="{whole + 6}" y="{HEIGHT}">{count}</text>',
    )


def _svg(width: float, height: float, label: str, shapes: str) -> str:
    return (
        f'<svg class="boxes" width="{width}" height="{height}" viewBox="0 0 {width} {height}" '
        f'role="img" aria-label="{escape(label)}">{shapes}</svg>'
    )
