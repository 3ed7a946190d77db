"""Write a reference pack as the text of its files, always in one order and style.

What is computed: ``{file name: text}`` from a ``PackEntry``, such that reading it gives the same
pack, and writing that gives the same text. The format is this project's own, described in
``fixtures/packs/README.md``. Only what differs from the defaults is written.

>>> from series.packs.entries import IssuerEntry
>>> pack = PackEntry("demo", "A demonstration", issuers=(IssuerEntry("isle", name="Isle"),))
>>> print(write_pack(pack)["money.toml"], end="")
[[issuers]]
key = "isle"
name = "Isle"
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from series.packs import entries as e
from series.packs.checks import completed
from series.packs.entries import PackEntry
from series.packs.toml_text import line
from series.packs.type_writing import citations, filled, type_record, years

Fields = dict[str, Any]


def write_pack(pack: PackEntry) -> dict[str, str]:
    """The pack's files by name: ``pack.toml``, ``money.toml``, ``people.toml``, one a series."""
    files = {
        "pack.toml": _head(pack),
        "money.toml": _records(
            [("issuers", _issuer(each)) for each in pack.issuers]
            + [("currencies", _currency(each)) for each in pack.currencies]
            + [("denominations", _denomination(each)) for each in pack.denominations]
        ),
        "people.toml": _records(
            [("mints", _mint(each)) for each in pack.mints]
            + [("people", _person(each)) for each in pack.people]
            + [("motifs", _motif(each)) for each in pack.motifs]
        ),
    }
    for series in pack.series:
        types = [each for each in pack.types if each.series == series.key]
        files[f"series-{series.key}.toml"] = _series_file(pack, series, types)
    own = {series.key for series in pack.series}
    others = [each for each in pack.types if each.series not in own]
    files["types.toml"] = _records([("types", type_record(each)) for each in others])
    return {name: text for name, text in files.items() if text}


def _head(pack: PackEntry) -> str:
    fields = {
        "key": pack.key,
        "title": pack.title,
        "version": pack.version,
        "licence": pack.licence,
        "about": pack.about,
    }
    head = "".join(f"{line(name, value)}\n" for name, value in fields.items() if value)
    sources = _records([("sources", vars(source)) for source in pack.sources])
    return f"{head}\n{sources}" if sources else head


def _series_file(pack: PackEntry, series: e.SeriesEntry, types: Sequence[e.TypeEntry]) -> str:
    records: list[tuple[str, Mapping[str, Any]]] = [("series", _series(pack, series))]
    for each in types:
        record = type_record(each)
        del record["series"]
        records.append(("types", record))
    text = _records(records)
    if len(types) > 0:
        text = f"[defaults.types]\n{line('series', series.key)}\n\n{text}"
    return text


def _records(records: Iterable[tuple[str, Mapping[str, Any]]]) -> str:
    """The records one below the other, each with its tables below its plain fields."""
    return "\n".join(_record(kind, fields) for kind, fields in records)


def _record(kind: str, fields: Mapping[str, Any]) -> str:
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


def exact(value: Fraction) -> int | str:
    """A whole number, or a text like ``1/4``."""
    return int(value) if value.denominator == 1 else str(value)


def _issuer(entry: e.IssuerEntry) -> Fields:
    return {
        "key": entry.key,
        "name": entry.name,
        "code": entry.code,
        "years": years(entry.first_year, entry.last_year),
        "predecessors": list(entry.predecessors),
        "story": entry.story,
        "citations": citations(entry),
    }


def _currency(entry: e.CurrencyEntry) -> Fields:
    return {
        "key": entry.key,
        "name": entry.name,
        "plural": entry.plural,
        "symbol": entry.symbol,
        "code": entry.code,
        "issuers": list(entry.issuers),
        "years": years(entry.first_year, entry.last_year),
        "units": [
            filled(name=u.name, plural=u.plural, symbol=u.symbol, per_main=exact(u.per_main))
            for u in entry.units
        ],
        "successor": entry.successor,
        "rate": entry.rate,
        "rate_from": entry.rate_from,
        "subunit_in_use": None if entry.subunit_in_use else False,
        "note": entry.note,
        "price_notes": [
            filled(year=n.year, amount=n.amount, bought=n.bought, index=n.index, source=n.source)
            for n in entry.price_notes
        ],
        "citations": citations(entry),
    }


def _denomination(entry: e.DenominationEntry) -> Fields:
    return {
        "key": entry.key,
        "name": entry.name,
        "currency": entry.currency,
        "value": exact(entry.value),
        "note": entry.note,
        "citations": citations(entry),
    }


def _mint(entry: e.MintEntry) -> Fields:
    return {
        "key": entry.key,
        "name": entry.name,
        "town": entry.town,
        "issuer": entry.issuer,
        "note": entry.note,
        "citations": citations(entry),
    }


def _person(entry: e.PersonEntry) -> Fields:
    return {
        "key": entry.key,
        "name": entry.name,
        "born": entry.born,
        "died": entry.died,
        "signature": entry.signature,
        "note": entry.note,
        "citations": citations(entry),
    }


def _motif(entry: e.MotifEntry) -> Fields:
    return {
        "key": entry.key,
        "name": "" if entry.name == entry.key.replace("-", " ") else entry.name,
        "broader": list(entry.broader),
        "note": entry.note,
        "citations": citations(entry),
    }


def _series(pack: PackEntry, entry: e.SeriesEntry) -> Fields:
    """A series without the rungs and years that follow from its types."""
    implied = _completed(pack, replace(entry, rungs=()))
    rungs = [rung for rung in entry.rungs if rung not in implied.rungs]
    bare = replace(entry, rungs=tuple(rungs), first_year=None, last_year=None)
    worked_out = _completed(pack, bare)
    same = (worked_out.first_year, worked_out.last_year) == (entry.first_year, entry.last_year)
    return {
        "key": entry.key,
        "name": entry.name,
        "issuer": entry.issuer,
        "currency": entry.currency,
        "years": "" if same else years(entry.first_year, entry.last_year),
        "story": entry.story,
        "citations": citations(entry),
        "rungs": {rung.denomination: _rung(rung) for rung in rungs},
    }


def _completed(pack: PackEntry, entry: e.SeriesEntry) -> e.SeriesEntry:
    return completed(replace(pack, series=(entry,))).series[0]


def _rung(rung: e.Rung) -> Any:
    text = "not struck" if rung.not_struck else years(rung.first_year, rung.last_year)
    return {"years": text, "note": rung.note} if rung.note else text
