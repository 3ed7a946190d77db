"""What a load of a reference pack did, counted and in sentences.

What is computed: counts of records added, changed, withdrawn and brought back, by kind, and the
curator's edits that were kept. No units.

>>> report = Report("euro")
>>> report.count("types", "added", 2)
>>> report.kept.append(KeptEdit("types", "euro-1-cent", "note", "small", "tiny"))
>>> print(report)
Pack euro: types 2 added.
Kept as edited here: type euro-1-cent, note: "tiny" (the pack says "small").
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from series.entries.tables import SINGULAR

OUTCOMES = ("added", "changed", "withdrawn", "brought back", "kept")


@dataclass(frozen=True)
class KeptEdit:
    """A value that was changed on the site and that the load left alone."""

    kind: str
    key: str
    path: str
    pack: Any
    here: Any

    def __str__(self) -> str:
        name = SINGULAR.get(self.kind, "issue")
        return (
            f"{name} {self.key}, {self.path}: {_said(self.here)} (the pack says {_said(self.pack)})"
        )


@dataclass
class Report:
    """Counts by kind and outcome; ``kept`` counts records with at least one edit kept."""

    pack: str
    counts: Counter[tuple[str, str]] = field(default_factory=Counter)
    kept: list[KeptEdit] = field(default_factory=list)

    def count(self, kind: str, outcome: str, number: int = 1) -> None:
        self.counts[kind, outcome] += number

    def of(self, outcome: str, kind: str = "") -> int:
        """How many records had an outcome, of one kind or of all."""
        return sum(
            number
            for (of_kind, of_outcome), number in self.counts.items()
            if of_outcome == outcome and kind in ("", of_kind)
        )

    @property
    def changed_anything(self) -> bool:
        return any(self.of(outcome) for outcome in OUTCOMES if outcome != "kept")

    def __str__(self) -> str:
        kinds = list(dict.fromkeys(kind for kind, _outcome in self.counts))
        parts = [
            f"{kind} " + ", ".join(
                f"{number} {outcome}" for outcome in OUTCOMES if (number := self.of(outcome, kind))
            )
            for kind in kinds
            if any(self.of(outcome, kind) for outcome in OUTCOMES)
        ]  # fmt: skip
        lines = [f"Pack {self.pack}: {'; '.join(parts) or 'nothing to change'}."]
        lines += [f"Kept as edited here: {edit}." for edit in self.kept]
        return "\n".join(lines)


def _said(value: Any) -> str:
    if value is None or value == "" or value == []:
        return "nothing"
    if isinstance(value, list):
        return "; ".join(_said(item) for item in value)
    return f'"{value}"' if isinstance(value, str) else str(value)
