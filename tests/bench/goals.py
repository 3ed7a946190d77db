"""Goals of the benches as data, and what is told of them.

A bench is a file ``bench_*.py`` in this folder, which ``python -m tests.bench`` finds by its name.
It states its goals as ``GOALS``, measures, and ends with ``tell``, a figure for each. Called with
``--tiny`` it does all of it on next to nothing, in seconds, so that the suite sees that it still
runs; what it then measures says nothing. Where nobody set a goal, it is what keeps a bench from
getting worse than it was.

>>> goals = {"time": Goal("a page, times the peer's", "the peer", at_most=0.5)}
>>> print(*lines(goals, {"time": 0.25}))
goal	a page, times the peer's	the peer	0.25	at most 0.5	met
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

FIRST = "goal"
HEADS = ("what", "peer", "figure", "goal", "")


@dataclass(frozen=True)
class Goal:
    """What is measured, against what, and what it is to come to."""

    what: str
    peer: str = "none"
    at_most: float | None = None
    at_least: float | None = None

    def __str__(self) -> str:
        if self.at_least is not None:
            return f"at least {self.at_least:g}"
        return f"at most {self.at_most:g}"

    def met(self, figure: float) -> bool:
        if self.at_least is not None:
            return figure >= self.at_least
        return self.at_most is not None and figure <= self.at_most


def lines(goals: Mapping[str, Goal], figures: Mapping[str, float]) -> Iterator[str]:
    """A line for each goal; ValueError unless each has its figure."""
    if set(goals) != set(figures):
        raise ValueError(f"Goals {sorted(goals)}, but figures {sorted(figures)}.")
    for name, goal in goals.items():
        met = "met" if goal.met(figures[name]) else "NOT MET"
        figure = f"{figures[name]:.4g}"
        yield "\t".join((FIRST, goal.what, goal.peer, figure, str(goal), met))


def tell(goals: Mapping[str, Goal], figures: Mapping[str, float]) -> None:
    print(*lines(goals, figures), sep="\n", flush=True)


def table(rows: list[tuple[str, ...]]) -> str:
    """Rows under ``HEADS``, each column as wide as its widest."""
    every = [HEADS, *rows]
    widths = [max(len(row[at]) for row in every) for at in range(len(HEADS))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in every
    )
