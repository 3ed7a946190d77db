"""Write a reference pack as the text of its files, always in one order and style.

What is computed: ``{file name: text}`` from a ``PackEntry``, such that reading it gives the same
pack, and writing that gives the same text. The format is this project's own, described in
``fixtures/packs/README.md``. Only what differs from the defaults is written.

>>> from series.entries.tables import IssuerEntry
>>> pack = PackEntry("demo", "A demonstration", issuers=(IssuerEntry("isle", name="Isle"),))
>>> print(write_pack(pack)["money.toml"], end="")
[[issuers]]
key = "isle"
name = "Isle"
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from series.entries.columns import columns
from series.entries.tables import MotifEntry, PackEntry, Rung, SeriesEntry, motif_name
from series.packs.checks import completed
from series.packs.fields import Fields, of_entry, written, years
from series.packs.toml_text import line
from series.packs.type_writing import type_record


def write_pack(pack: PackEntry) -> dict[str, str]:
    """The pack's files by name: ``pack.toml``, ``money.toml``, ``people.toml``, one a series."""
    files = {
        "pack.toml": _head(pack),
        "money.toml": _tables(pack, "issuers", "currencies", "denominations"),
        "people.toml": _tables(pack, "mints", "people", "motifs"),
    }
    for series in pack.series:
        files[f"series-{series.key}.toml"] = _series_file(pack, series)
    own = {series.key for series in pack.series}
    others = [each for each in pack.types if each.series not in own]
    files["types.toml"] = _records([("types", type_record(each)) for each in others])
    return {name: text for name, text in files.items() if text}


def _head(pack: PackEntry) -> str:
    head = "".join(
        f"{line(name, value)}\n" for name in columns(PackEntry) if (value := getattr(pack, name))
    )
    sources = _records([("sources", written(source)) for source in pack.sources])
    return f"{head}\n{sources}" if sources else head


def _tables(pack: PackEntry, *kinds: str) -> str:
    return _records([(kind, _fields(each)) for kind in kinds for each in pack.table(kind)])


def _fields(entry: Any) -> Fields:
    fields = of_entry(entry)
    if isinstance(entry, MotifEntry) and entry.name == motif_name(entry.key):
        del fields["name"]
    return fields


def _series_file(pack: PackEntry, series: SeriesEntry) -> str:
    records: list[tuple[str, Fields]] = [("series", _series(pack, series))]
    for each in pack.types:
        if each.series == series.key:
            record = type_record(each)
            del record["series"]
            records.append(("types", record))
    text = _records(records)
    if len(records) > 1:
        text = f"[defaults.types]\n{line('series', series.key)}\n\n{text}"
    return text


def _records(records: Iterable[tuple[str, Fields]]) -> str:
    """The records one below the other, each with its tables below its plain fields."""
    return "\n".join(_record(kind, fields) for kind, fields in records)


def _record(kind: str, fields: Fields) -> str:
    lines = [f"[[{kind}]]"]
    tables: list[str] = []
    for name, value in fields.items():
        if value in ("", None, [], {}):
            continue
        if isinstance(value, Mapping):
            tables += ["", f"[{kind}.{name}]", *_lines(value)]
        elif name == "issues":
            for issue in value:
                tables += ["", f"[[{kind}.issues]]", *_lines(issue)]
        else:
            lines.append(line(name, value))
    return "\n".join([*lines, *tables]) + "\n"


def _lines(fields: Mapping[str, Any]) -> list[str]:
    return [line(name, value) for name, value in fields.items() if value not in ("", None, [])]


def _series(pack: PackEntry, entry: SeriesEntry) -> Fields:
    """A series without the rungs and years that follow from its types."""
    implied = _completed(pack, replace(entry, rungs=()))
    rungs = tuple(rung for rung in entry.rungs if rung not in implied.rungs)
    bare = replace(entry, rungs=rungs, first_year=None, last_year=None)
    worked_out = _completed(pack, bare)
    same = (worked_out.first_year, worked_out.last_year) == (entry.first_year, entry.last_year)
    fields = of_entry(bare if same else entry, "rungs")
    return fields | {"rungs": {rung.denomination: _rung(rung) for rung in rungs}}


def _completed(pack: PackEntry, entry: SeriesEntry) -> SeriesEntry:
    return completed(replace(pack, series=(entry,))).series[0]


def _rung(rung: Rung) -> Any:
    text = "not struck" if rung.not_struck else years(rung)
    return {"years": text, "note": rung.note} if rung.note else text
