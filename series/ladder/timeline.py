"""Where the bars of a timeline stand.

What is computed: for spans of civil years, the left end and width of each bar and the place of
the year marks, in the units of a drawing of a given width (plain geometry, no source). A span
without a last year is drawn to ``now``; one without a first year starts with the earliest.

>>> time = timeline([Span("marl", 1931, 1968), Span("new marl", 1968, None)], width=1000, now=2029)
>>> [(bar.span.label, bar.x, bar.width) for bar in time.bars]
[('marl', 10.0, 380.0), ('new marl', 380.0, 620.0)]
>>> [bar.y for bar in time.bars], time.height
([46, 80], 94)
>>> [tick.year for tick in time.ticks]
[1930, 1940, 1950, 1960, 1970, 1980, 1990, 2000, 2010, 2020]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

HEAD, ROW, BAR_HEIGHT = 46, 34, 9
STEPS = (1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000)


@dataclass(frozen=True)
class Span:
    """What lasted from a first to a last year, both included; None where open or not known.

    ``record`` is anything the drawing wants to keep with it.
    """

    label: str
    first: int | None
    last: int | None
    record: Any = None


@dataclass(frozen=True)
class Bar:
    """A span's bar, one row below the other; ``y`` is its upper edge, its label stands above.

    ``late``: the label should end at the bar's right end, to fit.
    """

    span: Span
    x: float
    y: int
    width: float
    late: bool

    @property
    def label_x(self) -> float:
        return self.x + self.width if self.late else self.x

    @property
    def label_y(self) -> int:
        return self.y - 6


@dataclass(frozen=True)
class Tick:
    year: int
    x: float


@dataclass(frozen=True)
class Timeline:
    bars: tuple[Bar, ...]
    ticks: tuple[Tick, ...]

    @property
    def height(self) -> int:
        return self.bars[-1].y + BAR_HEIGHT + 5 if self.bars else 0


def timeline(spans: Sequence[Span], width: float, now: int) -> Timeline:
    """Bars and year marks for spans; spans without any year have no bar."""
    known = [span for span in spans if span.first is not None or span.last is not None]
    if not known:
        return Timeline((), ())
    ends = [year for span in known for year in (span.first, span.last) if year is not None]
    ends += [now] if any(span.last is None for span in known) else []
    start, end = min(ends), max(ends) + 1
    step = next((s for s in STEPS if (end - start) / s <= 12), STEPS[-1])
    start -= start % step
    end += -end % step if end % step and not any(span.last is None for span in known) else 0

    def place(year: int) -> float:
        return round((year - start) * width / (end - start), 1)

    bars = []
    for n, span in enumerate(known):
        x = place(start if span.first is None else span.first)
        to = place(end if span.last is None else span.last + 1)
        bars.append(Bar(span, x, HEAD + n * ROW, round(max(to - x, 2), 1), x > width * 0.6))
    ticks = tuple(Tick(year, place(year)) for year in range(start, end, step))
    return Timeline(tuple(bars), ticks)
