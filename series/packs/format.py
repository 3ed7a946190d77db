"""Read the text of a reference pack into plain records; say everything that is wrong with it.

What is computed: a ``PackEntry`` from the texts of a folder's TOML 1.0 files. The format is this
project's own and is described in ``fixtures/packs/README.md``. Lengths in mm, masses in g, face
values exact, years civil. :class:`PackErrors` holds every mistake found.

>>> pack = read_pack({"pack.toml": '''
... key = "demo"
... title = "A demonstration"
... [[motifs]]
... key = "herring-gull"
... '''})
>>> pack.title, pack.motifs[0].name
('A demonstration', 'herring gull')
>>> read_pack({"pack.toml": 'key = "demo"'})
Traceback (most recent call last):
    ...
series.packs.reading.PackErrors: pack.toml, pack demo: title is missing: write title = "…".
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from series.packs import checks
from series.packs.entries import (
    KINDS,
    SINGULAR,
    CurrencyEntry,
    DenominationEntry,
    Entry,
    IssuerEntry,
    MintEntry,
    MotifEntry,
    PackEntry,
    PersonEntry,
    Place,
    PriceNote,
    Rung,
    SeriesEntry,
    Source,
    Unit,
    trimmed,
)
from series.packs.reading import SLUG, PackErrors, Problem, Table
from series.packs.type_format import read_types

ABOUT = "pack.toml"
_PACK_FIELDS = ("key", "title", "version", "licence", "about")


@dataclass
class _Raw:
    """The tables of all files as they stand there, with the defaults of their files."""

    head: dict[str, Any] = field(default_factory=dict)
    tables: dict[str, list[tuple[Place, dict[str, Any], dict[str, Any]]]] = field(
        default_factory=lambda: {kind: [] for kind in SINGULAR}
    )


def pack_key(files: Mapping[str, str]) -> str:
    """The key that ``pack.toml`` states, or "" where it cannot be read."""
    try:
        key = tomllib.loads(files.get(ABOUT, "")).get("key", "")
    except (tomllib.TOMLDecodeError, RecursionError):
        return ""
    return key if isinstance(key, str) else ""


def read_pack(files: Mapping[str, str], known: checks.Known | None = None) -> PackEntry:
    """The pack in ``files`` (name to text); raises PackErrors with every mistake in it.

    ``known`` are the records outside this pack that it may refer to.
    """
    problems: list[Problem] = []
    raw = _raw(files, problems)
    head = Table(raw.head, Place(ABOUT, f"pack {raw.head.get('key', '')}".strip()), problems)
    fields: dict[str, Any] = {
        "key": head.slug("key", 60, needed=True),
        "title": head.text("title", 200, needed=True),
        "version": head.text("version", 40),
        "licence": head.text("licence", 80),
        "about": head.text("about"),
    }
    head.done()
    fields["sources"] = _read(raw, "sources", _source, problems)
    for kind, reader in _READERS.items():
        fields[kind] = _read(raw, kind, reader, problems)
    fields["types"] = read_types(raw.tables["types"], problems)
    for kind in ("sources", *KINDS):
        checks.unique(kind, [(place, table.get("key")) for place, table, _d in raw.tables[kind]],
                      problems)  # fmt: skip
    pack = checks.completed(PackEntry(**fields))
    problems += checks.cross_checks(pack, known or checks.Known())
    if problems:
        raise PackErrors(_without_echoes(list(dict.fromkeys(problems)), raw))
    return pack


def _without_echoes(problems: list[Problem], raw: _Raw) -> list[Problem]:
    """Without the mistakes that a type only took over from one that it is like."""
    like = {
        place.record: f"type {own['like']}"
        for place, own, _defaults in raw.tables["types"]
        if "like" in own
    }
    noted = {(problem.record, problem.message) for problem in problems}
    return [each for each in problems if (like.get(each.record), each.message) not in noted]


def _raw(files: Mapping[str, str], problems: list[Problem]) -> _Raw:
    raw = _Raw()
    if ABOUT not in files:
        problems.append(
            Problem(ABOUT, "", 'the file is missing: write key = "…" and title = "…" in it.')
        )
    for name in sorted(files):
        try:
            content = tomllib.loads(files[name], parse_float=Decimal)
        except tomllib.TOMLDecodeError as error:
            problems.append(Problem(name, "", f"this is not TOML: {error}."))
            continue
        except RecursionError:
            problems.append(Problem(name, "", "lists and tables stand too deep in each other."))
            continue
        defaults = content.pop("defaults", {})
        if not isinstance(defaults, dict):
            problems.append(Problem(name, "", "write defaults as [defaults.types] and so on."))
            defaults = {}
        _check_defaults(name, defaults, problems)
        for kind, value in content.items():
            if kind in SINGULAR:
                _collect(raw, name, kind, value, defaults.get(kind, {}), problems)
            elif name == ABOUT:
                raw.head[kind] = value
            else:
                words = f"there is no table '{kind}'; the tables are {', '.join(SINGULAR)}."
                if kind in _PACK_FIELDS:
                    words = f"'{kind}' belongs into {ABOUT}."
                problems.append(Problem(name, "", words))
    return raw


def _check_defaults(name: str, defaults: dict[str, Any], problems: list[Problem]) -> None:
    for kind, values in defaults.items():
        if kind not in SINGULAR or not isinstance(values, dict):
            problems.append(
                Problem(name, f"defaults.{kind}", f"write one of {', '.join(SINGULAR)} as a table.")
            )
            defaults[kind] = {}
        elif "key" in values:
            problems.append(Problem(name, f"defaults.{kind}", "a key cannot be a default."))


def _collect(
    raw: _Raw,
    file: str,
    kind: str,
    value: Any,
    defaults: dict[str, Any],
    problems: list[Problem],
) -> None:
    if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
        problems.append(Problem(file, "", f"write [[{kind}]], with two brackets, for each record."))
        return
    for number, item in enumerate(value, 1):
        key = item.get("key")
        named = key if isinstance(key, str) and key else f"number {number} of the file"
        raw.tables[kind].append((Place(file, f"{SINGULAR[kind]} {named}"), item, defaults))


def _read(
    raw: _Raw, kind: str, reader: Callable[[Table], Any], problems: list[Problem]
) -> tuple[Any, ...]:
    """The records of one table in the order of their keys; those without a key left out."""
    found: dict[str, Any] = {}
    for place, own, defaults in raw.tables[kind]:
        table = Table({**defaults, **own}, place, problems)
        entry = reader(table)
        table.done()
        if entry.key:
            found.setdefault(entry.key, entry)
    return tuple(found[key] for key in sorted(found))


def _source(table: Table) -> Source:
    return Source(
        key=table.slug("key", needed=True),
        title=table.text("title", 300, needed=True),
        publisher=table.text("publisher", 200),
        published=table.text("published", 40),
        url=table.matching("url", r"https?://[^\s]{1,190}", "write an address, https://…"),
        note=table.text("note"),
    )


def _issuer(table: Table) -> IssuerEntry:
    first, last = table.years()
    return IssuerEntry(
        **table.common(),
        name=table.text("name", 120, needed=True),
        code=table.matching("code", "[A-Z]{2}", "a country code is two capitals (ISO 3166-1)."),
        first_year=first,
        last_year=last,
        predecessors=tuple(sorted(table.slugs("predecessors", "issuer"))),
        story=table.text("story"),
    )


def _currency(table: Table) -> CurrencyEntry:
    first, last = table.years()
    entry = CurrencyEntry(
        **table.common(),
        name=table.text("name", 80, needed=True),
        plural=table.text("plural", 80),
        symbol=table.text("symbol", 12),
        code=table.matching("code", "[A-Z]{3}", "a currency code is three capitals (ISO 4217)."),
        issuers=tuple(sorted(table.slugs("issuers", "issuer"))),
        first_year=first,
        last_year=last,
        units=_units(table),
        successor=table.slug("successor"),
        rate=table.rate("rate"),
        rate_from=table.day("rate_from"),
        subunit_in_use=table.yes("subunit_in_use", default=True),
        note=table.text("note"),
        price_notes=tuple(_price_note(item) for item in table.tables("price_notes")),
    )
    if not entry.issuers and not table.raw.get("issuers"):
        table.problem('issuers is missing: write issuers = ["…"], the keys of who issued it.')
    return entry


def _units(table: Table) -> tuple[Unit, ...]:
    if isinstance(short := table.value("units"), dict):
        items = [
            table.inner("units", {"name": name, "per_main": ratio}) for name, ratio in short.items()
        ]
    else:
        items = list(table.tables("units"))
    found: dict[str, Unit] = {}
    for item in items:
        name = item.text("name", 60, needed=True)
        unit = Unit(
            name=name,
            per_main=item.fraction("per_main", needed=True) or Fraction(1),
            plural=item.text("plural", 60),
            symbol=item.text("symbol", 12),
        )
        item.done()
        if name in found:
            table.problem(f"units names '{name}' twice: leave one out.")
        found.setdefault(name, unit)
    return tuple(found.values())


def _price_note(table: Table) -> PriceNote:
    index = table.measure("index", "index points", 4, 10**12)
    note = PriceNote(
        year=table.whole("year", 1, 9999, "the year") or 0,
        amount=table.text("amount", 60),
        bought=table.text("bought", 200),
        index=trimmed(index) if index is not None else None,
        source=table.text("source", 200),
    )
    table.done()
    if "year" not in table.raw:
        table.problem(f"{table.path}year is missing: write year = 1931.")
    if not note.bought and note.index is None:
        table.problem(f'{table.path}bought is missing: write bought = "…" or index = 100.')
    return note


def _denomination(table: Table) -> DenominationEntry:
    return DenominationEntry(
        **table.common(),
        name=table.text("name", 80, needed=True),
        currency=table.slug("currency", needed=True),
        value=table.fraction("value", needed=True) or Fraction(1),
        note=table.text("note"),
    )


def _mint(table: Table) -> MintEntry:
    return MintEntry(
        **table.common(),
        name=table.text("name", 120, needed=True),
        town=table.text("town", 120),
        issuer=table.slug("issuer"),
        note=table.text("note"),
    )


def _person(table: Table) -> PersonEntry:
    return PersonEntry(
        **table.common(),
        name=table.text("name", 160, needed=True),
        born=table.edtf("born", 20),
        died=table.edtf("died", 20),
        signature=table.text("signature", 40),
        note=table.text("note"),
    )


def _motif(table: Table) -> MotifEntry:
    common = table.common()
    return MotifEntry(
        **common,
        name=table.text("name", 120) or str(common["key"]).replace("-", " "),
        broader=tuple(sorted(table.slugs("broader", "motif"))),
        note=table.text("note"),
    )


def _series(table: Table) -> SeriesEntry:
    first, last = table.years()
    return SeriesEntry(
        **table.common(),
        name=table.text("name", 120, needed=True),
        issuer=table.slug("issuer", needed=True),
        currency=table.slug("currency", needed=True),
        first_year=first,
        last_year=last,
        story=table.text("story"),
        rungs=_rungs(table),
    )


def _rungs(table: Table) -> tuple[Rung, ...]:
    raw = table.value("rungs") or {}
    if not isinstance(raw, dict):
        table.wrong("rungs", raw, 'write rungs as a table, denomination = "1931–59".')
        return ()
    found = []
    for denomination, value in sorted(raw.items()):
        item = table.inner(
            f"rungs.{denomination}", value if isinstance(value, dict) else {"years": value}
        )
        years = item.value("years")
        not_struck = isinstance(years, str) and years.strip().lower() == "not struck"
        first, last = (None, None) if not_struck or years in (None, "") else item.years()
        if SLUG.fullmatch(denomination):
            found.append(Rung(denomination, first, last, not_struck, item.text("note", 200)))
        else:
            table.wrong("rungs", denomination, "write the key of a denomination.")
        item.done()
    return tuple(found)


_READERS: dict[str, Callable[[Table], Entry]] = {
    "issuers": _issuer,
    "currencies": _currency,
    "denominations": _denomination,
    "mints": _mint,
    "people": _person,
    "motifs": _motif,
    "series": _series,
}
