"""A table of types as plain arrays and lists, to be kept on disk, and back.

What is computed: numpy arrays by name, and beside them what JSON can say. Units are those of
``series.identifying.table``. Source: none needed.

>>> from series.identifying.facts import TypeFacts
>>> table = TypeTable.of([TypeFacts(7, "a", "1 cent", "Halvern", diameter_mm=18.0)])
>>> anew = unpacked(*packed(table))
>>> anew.ids.tolist(), anew.labels, anew.standards["diameter"].value_of(0)
([7], ['1 cent'], 18.0)
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from numpy.typing import NDArray

from series.arrays import Arrays, arrays_of, under
from series.identifying.columns import Classed, Ragged, Standards
from series.identifying.evidence import CHOICES
from series.identifying.table import TypeTable
from series.legends.index import LegendIndex

_LISTS = (
    "keys", "labels", "spans", "countries", "denominations", "motif_names", "issue_labels", "dates",
)  # fmt: skip


def packed(table: TypeTable) -> tuple[Arrays, dict[str, Any]]:
    """The table as arrays, and what JSON can say."""
    arrays = arrays_of("", table) | arrays_of("motifs.", table.motifs)
    arrays |= arrays_of("issues.", table.issues)
    for name, standards in table.standards.items():
        arrays |= arrays_of(f"{name}.", standards)
    for kind, classed in table.classed.items():
        arrays |= arrays_of(f"{kind}.", classed)
    found, plain = table.legends.packed()
    arrays |= {f"legends.{name}": array for name, array in found.items()}
    return arrays, {
        "lists": {name: getattr(table, name) for name in _LISTS},
        "scripts": [sorted(each) for each in table.scripts],
        "standards": list(table.standards),
        "recorded": {kind: classed.recorded for kind, classed in table.classed.items()},
        "legends": plain,
    }


def unpacked(arrays: Mapping[str, NDArray[Any]], plain: Mapping[str, Any]) -> TypeTable:
    """The table that was packed."""
    of_types: dict[str, Any] = {name: each for name, each in arrays.items() if "." not in name}
    lists = dict(plain["lists"])
    lists["countries"] = [(name, tuple(own), tuple(near)) for name, own, near in lists["countries"]]
    lists["dates"] = [tuple(each) for each in lists["dates"]]
    classed = {
        kind: Classed(classes=CHOICES[kind], recorded=tuple(recorded), **under(f"{kind}.", arrays))
        for kind, recorded in plain["recorded"].items()
    }
    return TypeTable(
        **of_types,
        **lists,
        scripts=[frozenset(each) for each in plain["scripts"]],
        standards={name: Standards(**under(f"{name}.", arrays)) for name in plain["standards"]},
        classed=classed,
        motifs=Ragged(**under("motifs.", arrays)),
        issues=Ragged(**under("issues.", arrays)),
        legends=LegendIndex.unpacked(under("legends.", arrays), plain["legends"]),
        numbers={type_id: number for number, type_id in enumerate(arrays["ids"].tolist())},
    )
