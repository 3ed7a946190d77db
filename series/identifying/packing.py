"""A table of types as plain arrays and lists, to be kept on disk, and back.

What is computed: numpy arrays by name, and beside them what JSON can say. Units are those of
``series.identifying.table``. Source: none needed.

>>> from series.identifying.facts import RankedType
>>> table = TypeTable.of([RankedType(7, "a", "1 cent", "Halvern", diameter_mm=18.0)])
>>> anew = unpacked(*packed(table))
>>> anew.ids.tolist(), anew.labels, anew.standards["diameter"].value_of(0)
([7], ['1 cent'], 18.0)
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from numpy.typing import NDArray

from series.arrays import Arrays, arrays_of, under
from series.coded import Coded, Listed
from series.identifying.columns import Classed, Standards
from series.identifying.evidence import CHOICES
from series.identifying.table import TypeTable
from series.legends.index import LegendIndex

_TEXTS = ("keys", "labels", "spans")
_CODED = {
    "country": Coded, "denomination": Coded, "script": Coded, "issue_label": Coded,
    "motifs": Listed, "issues": Listed,
}  # fmt: skip


def packed(table: TypeTable) -> tuple[Arrays, dict[str, Any]]:
    """The table as arrays, and what JSON can say."""
    coded = {name: getattr(table, name) for name in _CODED}
    arrays = arrays_of("", table)
    for name, column in (coded | table.standards | table.classed).items():
        arrays |= arrays_of(f"{name}.", column)
    found, plain = table.legends.packed()
    arrays |= {f"legends.{name}": array for name, array in found.items()}
    return arrays, {
        "texts": {name: getattr(table, name) for name in _TEXTS},
        "things": {name: column.things for name, column in coded.items()},
        "standards": list(table.standards),
        "classed": {kind: classed.things for kind, classed in table.classed.items()},
        "legends": plain,
    }


def unpacked(arrays: Mapping[str, NDArray[Any]], plain: Mapping[str, Any]) -> TypeTable:
    """The table that was packed."""
    of_types: dict[str, Any] = {name: each for name, each in arrays.items() if "." not in name}
    coded = {
        name: kind(things=list(map(_tupled, plain["things"][name])), **under(f"{name}.", arrays))
        for name, kind in _CODED.items()
    }
    classed = {
        kind: Classed(things=things, classes=CHOICES[kind], **under(f"{kind}.", arrays))
        for kind, things in plain["classed"].items()
    }
    return TypeTable(
        **of_types,
        **plain["texts"],
        **coded,
        standards={name: Standards(**under(f"{name}.", arrays)) for name in plain["standards"]},
        classed=classed,
        legends=LegendIndex.unpacked(under("legends.", arrays), plain["legends"]),
    )


def _tupled(thing: Any) -> Any:
    """What JSON gave as lists, as the tuples it was."""
    return tuple(map(_tupled, thing)) if isinstance(thing, list) else thing
