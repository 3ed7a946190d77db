"""Write a stored pack back as a folder of text files."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.db.models import Q

from series.entries import tables
from series.entries.columns import columns
from series.entries.stored import stored, stored_entries
from series.entries.stored_types import stored_types
from series.entries.tables import FACES, KINDS, PackEntry, TypeEntry
from series.models import CoinType, Motif, Pack, Source
from series.packs.format import said_in_head
from series.packs.reading import PackErrors, Problem
from series.packs.writing import write_pack
from series.packs.writing_back import MODELS


def stored_pack(pack: Pack) -> PackEntry:
    """The pack as it is stored, curators' edits included; what is withdrawn or binned is not."""
    found: dict[str, Any] = {}
    for kind in KINDS[:-1]:
        records = MODELS[kind].objects.filter(pack=pack, withdrawn=False)
        found[kind] = tuple(entry for _record, entry in stored_entries(kind, records))
    types = stored_types(CoinType.objects.filter(pack=pack, withdrawn=False))
    found["types"] = tuple(each.entry for each in types.values())
    found["motifs"] = _with_shared(found["motifs"], found["types"])
    cited = {
        citation.source
        for table in found.values()
        for entry in table
        for citation in entry.citations
    }
    sources = Source.objects.filter(Q(pack=pack) | Q(key__in=cited)).order_by("key")
    found["sources"] = tuple(stored(tables.Source, source) for source in sources)
    head: dict[str, Any] = {name: getattr(pack, name) for name in columns(PackEntry)}
    return PackEntry(**head, **found)


def _with_shared(motifs: tuple[Any, ...], types: Iterable[TypeEntry]) -> tuple[Any, ...]:
    """The pack's own motifs, and those of others that it needs to stand alone."""
    found = {motif.key: motif for motif in motifs}
    wanted = {
        shown.motif
        for each in types
        for face in FACES.values()
        for shown in getattr(each, face).motifs
    }
    wanted |= {key for motif in motifs for key in motif.broader}
    while missing := wanted - found.keys():
        others: dict[str, Any] = {
            record.key: entry
            for record, entry in stored_entries("motifs", Motif.everything.filter(key__in=missing))
        }
        found |= others
        wanted = {key for motif in others.values() for key in motif.broader}
    return tuple(found[key] for key in sorted(found))


def dump_pack(key: str, folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the pack ``key`` into ``folder``; return the files written.

    Raises Pack.DoesNotExist, or PackErrors where the folder holds other TOML files already
    (with ``replace``: those of another pack) or a record cannot be written.
    """
    pack = Pack.objects.get(key=key)
    there = sorted(folder.glob("*.toml"))
    if there and not replace:
        raise PackErrors(
            [Problem(str(folder), "", "it holds TOML files already: choose an empty folder.")]
        )
    about = folder / "pack.toml"
    said = {about.name: about.read_text("utf-8")} if about.exists() else {}
    if there and said_in_head(said, "key") != key:
        raise PackErrors([Problem(str(folder), "", f"it does not hold the pack {key}.")])
    try:
        files = write_pack(stored_pack(pack))
    except ValueError as error:
        raise PackErrors([Problem(f"pack {key}", "", str(error))]) from error
    folder.mkdir(parents=True, exist_ok=True)
    for path in there:
        if path.name not in files:
            path.unlink()
    for name, text in files.items():
        (folder / name).write_text(text, "utf-8", newline="\n")
    return [folder / name for name in files]
