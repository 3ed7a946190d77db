"""Set the records of a pack beside figures that were typed from a source."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from series.entries.cited import cited_facts
from series.entries.tables import PackEntry, TypeEntry
from series.metal.compositions import parse_composition

DECIMALS = ("mass_g", "remedy_g", "diameter_mm", "thickness_mm", "hole_mm", "ring_mm")


def type_of(pack: PackEntry, key: str) -> TypeEntry:
    return next(each for each in pack.types if each.key == key)


def differing(pack: PackEntry, table: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """What the types say otherwise than a table of figures: by "type field", said and typed.

    A figure is a text, or None where the source has none; metals are compared by what they mean.
    """
    found = {}
    for key, figures in table.items():
        coin = type_of(pack, key)
        for name, typed in figures.items():
            said: Any = getattr(coin, name)
            if name in DECIMALS:
                typed = None if typed is None else Decimal(typed)
            elif name == "composition":
                said, typed = parse_composition(said), parse_composition(typed)
            if said != typed:
                found[f"{key} {name}"] = said, typed
    return found


def cites(pack: PackEntry, key: str, source: str) -> set[str]:
    """The facts for which a type names a source; {""} where it stands for the whole record."""
    facts: set[str] = set()
    for cited in type_of(pack, key).citations:
        if cited.source == source:
            facts |= set(cited_facts(cited.where)) or {""}
    return facts


def of_memory(pack: PackEntry, key: str) -> set[str]:
    """The facts of a type that rest on a source nobody looked up."""
    memory = [source.key for source in pack.sources if source.unchecked]
    return {fact for source in memory for fact in cites(pack, key, source)}


def sources_missing(pack: PackEntry, keys: Iterable[str], source: str) -> list[str]:
    """Those of the types that do not cite a source at all."""
    return [key for key in keys if not cites(pack, key, source)]
