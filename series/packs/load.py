"""Load a reference pack: check everything, then save all of it or nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from django.db import transaction

from series.entries import tables
from series.entries.columns import columns
from series.entries.flat import as_fields, parts
from series.entries.stored import stored, stored_entries
from series.entries.stored_types import stored_types
from series.entries.tables import KINDS, PackEntry
from series.models import (
    CoinType,
    CurrencyUnit,
    Denomination,
    Motif,
    Pack,
    PriceNote,
    Series,
    SeriesDenomination,
    Source,
)
from series.packs.checks import Known
from series.packs.format import ABOUT, read_pack, said_in_head
from series.packs.reading import PackErrors, Problem
from series.packs.report import Report
from series.packs.type_load import load_types
from series.packs.writing_back import (
    KIND,
    MODELS,
    PARTS,
    Change,
    Keys,
    planned,
    save_changed,
    withdraw,
)
from series.signals import pack_loaded, types_changed
from series.tracked import unannounced
from series.types.derived import derive_types, types_using

MANY = 500
"""More changed types than this are announced as "many"."""


class _NothingSaved(Exception):
    """Raised to take back what a check-only load did."""


def load_pack(folder: Path, *, check_only: bool = False) -> Report:
    """Load the pack in ``folder`` and return what was done.

    Raises PackErrors with every mistake found; nothing is then saved. With ``check_only``
    nothing is saved either, and the report says what would be done.
    """
    files = folder_files(folder)
    needed = said_in_head(files, "needs")
    if needed and not Pack.objects.filter(key=needed).exists():
        raise PackErrors([Problem(ABOUT, "", f"load the pack {needed} first: this one needs it.")])
    entry = read_pack(files, known_outside(said_in_head(files, "key"), needed))
    report = Report(entry.key)
    try:
        with transaction.atomic(), unannounced():
            _load(entry, report, announce=not check_only)
            if check_only:
                raise _NothingSaved
    except _NothingSaved:
        pass
    return report


def folder_files(folder: Path) -> dict[str, str]:
    """The texts of a pack's files; raises PackErrors where there is no such folder or text."""
    if not folder.is_dir():
        raise PackErrors([Problem(str(folder), "", "there is no such folder.")])
    files = {}
    for path in sorted(folder.glob("*.toml")):
        try:
            files[path.name] = path.read_text("utf-8")
        except (UnicodeDecodeError, OSError) as error:
            raise PackErrors([Problem(path.name, "", f"it cannot be read: {error}.")]) from error
    return files


def known_outside(key: str, needed: str = "") -> Known:
    """Every record that is not of the pack ``key``, with whose it is; the types of the needed."""
    owners: dict[str, dict[str, str]] = {}
    for kind, model in MODELS.items():
        rows = model.everything.exclude(pack__key=key).values_list("key", "pack__key")
        owners[kind] = {name: f"pack {pack}" if pack else "this site" for name, pack in rows}
    owners["sources"] = {
        name: f"pack {pack}" if pack else "this site"
        for name, pack in Source.objects.exclude(pack__key=key).values_list("key", "pack__key")
    }
    money = {
        "denominations": Denomination.everything.values_list("key", "currency__key"),
        "series": Series.everything.values_list("key", "currency__key"),
    }
    of_needed = CoinType.objects.filter(pack__key=needed, withdrawn=False)
    ids = list(of_needed.values_list("pk", flat=True)) if needed else []
    types = CoinType.objects.filter(pk__in=ids)  # by number: a load is asked before any ANALYZE
    alike = {key: each.entry for key, each in stored_types(types).items()}
    return Known(owners, {kind: dict(rows) for kind, rows in money.items()}, alike)


def _load(entry: PackEntry, report: Report, *, announce: bool) -> None:
    pack = _save_pack(entry, report)
    entry = _without_shared(entry, pack)
    keys: Keys = {}
    touched: dict[str, list[int]] = {}
    for kind in KINDS[:-1]:
        touched[kind] = _load_kind(kind, entry, pack, keys, report)
        keys[kind] = dict(MODELS[kind].everything.values_list("key", "pk"))
    changed_types = load_types(entry.types, pack, keys, report)
    if not report.changed_anything:
        return
    pack.save()
    known = set(changed_types) | types_using(touched)
    derive_types(known)
    if not announce:
        return
    if known:
        ids = sorted(known) if len(known) <= MANY else None
        types_changed.send(sender=CoinType, type_ids=ids)
    pack_loaded.send(sender=Pack, pack=pack)


def _save_pack(entry: PackEntry, report: Report) -> Pack:
    said = {name: getattr(entry, name) for name in columns(PackEntry) if name != "key"}
    pack, added = Pack.objects.select_for_update().get_or_create(key=entry.key, defaults=said)
    if added:
        report.count("packs", "added")
    elif any(getattr(pack, name) != value for name, value in said.items()):
        for name, value in said.items():
            setattr(pack, name, value)
        report.count("packs", "changed")
    known = Source.objects.in_bulk([source.key for source in entry.sources], field_name="key")
    for source in entry.sources:
        record = known.get(source.key)
        if record is not None and record.pack_id not in (None, pack.pk):
            continue
        if record is not None and record.pack_id and stored(tables.Source, record) == source:
            continue
        report.count("sources", "added" if record is None else "changed")
        Source.objects.update_or_create(key=source.key, defaults={**vars(source), "pack": pack})
    return pack


def _without_shared(entry: PackEntry, pack: Pack) -> PackEntry:
    """Without the motifs that are described elsewhere already, which stay as they are."""
    keys = [motif.key for motif in entry.motifs]
    elsewhere = set(
        Motif.everything.filter(key__in=keys).exclude(pack=pack).values_list("key", flat=True)
    )
    own = tuple(motif for motif in entry.motifs if motif.key not in elsewhere)
    return replace(entry, motifs=own)


def _load_kind(kind: str, entry: PackEntry, pack: Pack, keys: Keys, report: Report) -> list[int]:
    """Load one kind of record; return the ids of those that were changed, not added."""
    model = MODELS[kind]
    records = model.everything.filter(pack=pack).select_for_update(of=("self",))
    at_hand = {record.key: (record, said) for record, said in stored_entries(kind, records)}
    changes = planned(kind, entry.table(kind), at_hand, lambda _new: model(pack=pack), report)
    added = [change for change in changes if change.is_new]
    for change in added:
        change.set_values(keys, "successor")
    model.everything.bulk_create([change.record for change in added])
    own = {**keys, kind: dict(model.everything.values_list("key", "pk"))}
    for change in changes:
        change.set_values(own)
    if kind == "currencies":
        with_successor = [change.record for change in added if change.values["successor"]]
        model.everything.bulk_update(with_successor, ["successor"])
    changed = [change.record for change in changes if not change.is_new]
    save_changed(changed)
    for change in changes:
        _save_parts(change, own)
    here = {new.key for new in entry.table(kind)}
    withdraw([record for key, (record, _said) in at_hand.items() if key not in here], kind, report)
    return [record.pk for record in changed]


def _save_parts(change: Change, keys: Keys) -> None:
    """Save what hangs on a record: related records, units, price notes, rungs."""
    for path in change.values.keys() & PARTS:
        _save_part(change.record, path, change.values[path], keys)
    rungs = SeriesDenomination.objects.filter(series=change.record.pk)
    for denomination, _nothing in parts(dict.fromkeys(change.gone), "rungs"):
        rungs.filter(denomination=keys["denominations"][denomination]).delete()
    for denomination, row in parts(change.values, "rungs"):
        SeriesDenomination.objects.update_or_create(
            series_id=change.record.pk,
            denomination_id=keys["denominations"][denomination],
            defaults=as_fields(tables.Rung, row),
        )


def _save_part(record: Any, path: str, value: list[Any], keys: Keys) -> None:
    if path == "units":
        record.units.all().delete()
        CurrencyUnit.objects.bulk_create(
            CurrencyUnit(currency=record, position=position, **as_fields(tables.Unit, row))
            for position, row in enumerate(value)
        )
    elif path == "price_notes":
        record.price_notes.all().delete()
        PriceNote.objects.bulk_create(
            PriceNote(currency=record, **as_fields(tables.PriceNote, row)) for row in value
        )
    else:
        manager = getattr(record, path)
        kind = KIND[manager.model]
        wanted = [keys[kind][key] for key in value]
        if wanted or not record.loaded or manager.exists():
            manager.set(wanted)
