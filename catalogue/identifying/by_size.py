"""What mass, diameter and thickness together say of the metal, for the page of identification."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.identifying.water import MOST_LISTED, metals_named
from series.identifying.evidence import Evidence, Measured
from series.measuring.agreement import agreement
from series.measuring.cylinder import (
    OUTSIDE_THE_RULE,
    WIDE_FILL,
    Read,
    implied_density,
    implied_words,
)
from series.types.queries import compositions_in_records


@dataclass(frozen=True)
class BySize:
    """The usual range and the wide one in words; metals of the records within the wide one."""

    usual: str
    wide: str
    agreeing: tuple[str, ...]
    more: int
    caution: str = OUTSIDE_THE_RULE


def by_size(evidence: Evidence) -> BySize | None:
    """None unless all three were measured; runs one query then.

    The piece is taken to be round unless its outline was said. Of a holed piece nothing is told,
    since the hole is not measured.
    """
    measured = (evidence.mass, evidence.diameter, evidence.thickness)
    if not all(measured) or evidence.hole not in ("", "none"):
        return None
    reads = [_read(each) for each in measured if each is not None]
    outline, sides = evidence.outline or "round", evidence.sides or 0
    try:
        usual = implied_density(*reads, outline=outline, sides=sides)
        wide = implied_density(*reads, outline=outline, sides=sides, fill=WIDE_FILL)
    except ValueError:  # read to no better than all of itself
        return None
    names = metals_named(agreement(wide.least, wide.most, compositions_in_records()))
    return BySize(
        implied_words(usual),
        implied_words(wide),
        tuple(names[:MOST_LISTED]),
        max(0, len(names) - MOST_LISTED),
    )


def _read(measured: Measured) -> Read:
    return Read(measured.value, measured.within)
