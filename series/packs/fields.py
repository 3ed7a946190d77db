"""A record as the fields that are written of it: what differs from what holds by itself.

What is computed: ``{name: plain TOML value}`` from any record of ``series.entries.tables``, in
the order of its columns. The format is described in ``fixtures/packs/README.md``.

>>> from series.entries.tables import CurrencyEntry, Unit
>>> tinne = Unit("tinne", Fraction(100), symbol="t")
>>> of_entry(CurrencyEntry("marl", (Citation("act", "section 4"),), name="marl", units=(tinne,)))
{'key': 'marl', 'name': 'marl', 'units': [{'name': 'tinne', 'symbol': 't', 'per_main': 100}], \
'citations': ['act: section 4']}
"""

from __future__ import annotations

from dataclasses import fields
from fractions import Fraction
from typing import Any

from series.entries.columns import columns
from series.entries.tables import Citation, Entry, LegendText, Shown

Fields = dict[str, Any]


def of_entry(entry: Entry, *but: str) -> Fields:
    """The fields of a whole record, its citations last; ``but`` are written elsewhere."""
    found = written(entry, *but)
    return found | {"citations": found.pop("citations", [])}


def written(record: Any, *but: str) -> Fields:
    """The fields of a record or a part of one that say something."""
    of = columns(type(record))
    defaults = {each.name: each.default for each in fields(record) if each.compare}
    found: Fields = {}
    for name in getattr(record, "WRITTEN", defaults):
        column, value = of.get(name), getattr(record, name)
        if name in but:
            continue
        if column is not None and column.reader == "year":
            found["years"] = years(record)
        elif value != defaults[name] or (column is not None and column.limits.get("needed")):
            found[name] = _plain(value)
    return {name: value for name, value in found.items() if value not in ("", None, [], {})}


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return int(value) if value.denominator == 1 else str(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Citation | Shown):
        key, words = (getattr(value, each.name) for each in fields(value))
        return f"{key}: {words}" if words else key
    if hasattr(value, "__dataclass_fields__"):
        found = written(value)
        return value.text if isinstance(value, LegendText) and list(found) == ["text"] else found
    return value


def years(record: Any) -> str:
    """``1931–59``, ``1931``, ``1999–``, ``–1890`` or "" for neither.

    >>> from series.entries.tables import Rung
    >>> years(Rung("", 1931, 1959)), years(Rung("", 1999)), years(Rung("", 1899, 1904))
    ('1931–59', '1999–', '1899–1904')
    """
    first, last = record.first_year, record.last_year
    if first is None or last is None:
        return "" if first is None and last is None else f"{first or ''}–{last or ''}"
    if first == last:
        return str(first)
    short = first // 100 == last // 100 and first >= 100
    return f"{first}–{last % 100:02}" if short else f"{first}–{last}"
