"""A member's archive brought back: into another site, or into one that has lost it.

What an archive holds is read as something from outside: every row is checked by its model as a form
would, every picture and paper is opened apart. What is there already (an accession number in use)
is left alone, so that the same archive twice makes no doubles. All or nothing; stored files that no
record names are cleared away as always.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from graphlib import TopologicalSorter
from typing import IO, Any, cast

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import Field, ForeignKey, JSONField, Model
from django.utils.text import get_valid_filename
from django.utils.translation import gettext as _

from catalogue.exports.archive import KEY
from catalogue.history.keeping import doing
from catalogue.holdings.actions import lock_numbers
from catalogue.holdings.changes import note_holdings
from catalogue.holdings.papers.receipts import LIMIT_BYTES, ReceiptRefused, content_type_of
from catalogue.members.member_data import (
    NOT_EXPORTED,
    Follows,
    Kind,
    LeftOut,
    Settle,
    member_data,
)
from catalogue.members.models import Member
from catalogue.models import Holding, Photo, Receipt
from series.parcels import parcels
from series.picture.pictures import PictureRefused, prepare_kept, put_file
from series.records import everything_of

LONGEST_LINE = 2 * 1024 * 1024
MOST_ROWS = 1_000_000
LARGEST_FILE = 32 * 1024 * 1024
_BATCH = 500
_PHOTO = re.compile(r"photographs/.*-(\d{1,18})\.webp", re.ASCII)
_OWN_TIMES = {"row_version", "created_at", "changed_at", "added_at", "made_at"}
"""Columns that tell of the record here, and begin anew."""


class ArchiveRefused(ValueError):
    """The file is no archive that can be brought back; the message says what to do."""


@dataclass
class BroughtBack:
    """What came of it: how many rows of each table, and what was left out and why."""

    made: Counter[str] = field(default_factory=Counter)
    left_out: list[str] = field(default_factory=list)


def bring_back(file: IO[bytes], member: Member, *, rehearse: bool = False) -> BroughtBack:
    """Make the archive's records the member's; ``rehearse`` does all of it and keeps nothing.

    Types are found by their keys. A piece whose type is not in this catalogue comes back
    unidentified, with the key in its working title. Raises ArchiveRefused.
    """
    try:
        archive = zipfile.ZipFile(file)
        names = {info.filename: info for info in archive.infolist()}
    except (zipfile.BadZipFile, OSError, ValueError) as error:
        raise ArchiveRefused(
            _("This is no archive. Take the zip file that “Everything as a file” gives.")
        ) from error
    if "json/holdings.json" not in names:
        raise ArchiveRefused(
            _("There is no json/holdings.json in it. Take the whole zip file, as it was made.")
        )
    why = _("An archive brought back")
    with archive, transaction.atomic(), doing(member, why):
        return _Returning(archive, names, member, rehearse).all()


@dataclass
class _Returning:
    archive: zipfile.ZipFile
    names: dict[str, zipfile.ZipInfo]
    member: Member
    rehearse: bool
    report: BroughtBack = field(default_factory=BroughtBack)
    ids: dict[type[Model], dict[int, int]] = field(default_factory=dict)
    """Of each table: the id in the archive, and the one here."""
    made: dict[type[Model], list[int]] = field(default_factory=dict)
    found: dict[tuple[Any, ...], int | None] = field(default_factory=dict)

    def all(self) -> BroughtBack:
        lock_numbers(self.member)
        for kind in _in_order():
            self.ids[kind.model], self.made[kind.model] = {}, []
            rows = list(self._rows(kind))
            for some in _outer_first(kind.model, rows):
                self._bring(kind, some)
        for held in parcels(self.made[Holding], _BATCH):
            note_holdings(held)
        if self.rehearse:
            transaction.set_rollback(True)
        return self.report

    def _rows(self, kind: Kind) -> Iterator[dict[str, Any]]:
        """The rows of a table's JSON file, which has one a line."""
        name = f"json/{kind.name}.json"
        if name not in self.names:
            return
        wrong = _("Line %(n)d of %(name)s cannot be read. Take the file as it was made.")
        with self.archive.open(name) as lines:
            for number, line in enumerate(iter(lambda: lines.readline(LONGEST_LINE), b""), 1):
                text = line.strip().strip(b",")
                if text in (b"[", b"]", b"", b"[]"):
                    continue
                try:
                    row = json.loads(text)
                except (ValueError, RecursionError):
                    row = None
                if not isinstance(row, dict) or type(row.get("id")) is not int:
                    raise ArchiveRefused(wrong % {"n": number, "name": name})
                if number > MOST_ROWS:
                    raise ArchiveRefused(
                        _("%(name)s has more than %(n)d lines.") % {"n": MOST_ROWS, "name": name}
                    )
                yield row

    def _bring(self, kind: Kind, rows: list[dict[str, Any]]) -> None:
        made: list[tuple[int, Model]] = []
        for row in rows:
            try:
                record = self._record(kind, row)
            except LeftOut as why:
                if not isinstance(why, Follows):
                    self.report.left_out.append(f"{kind.name} {row['id']}: {why}")
                continue
            here = self._there_already(record)
            if here is not None:
                self.ids[kind.model][row["id"]] = here
            else:
                made.append((row["id"], record))
        try:
            with transaction.atomic():
                everything_of(kind.model).bulk_create([record for _old, record in made])
        except IntegrityError as error:
            raise ArchiveRefused(
                _("Two records of %(name)s have the same number or name. Nothing was brought back.")
                % {"name": kind.name}
            ) from error
        self.ids[kind.model] |= {old: record.pk for old, record in made}
        self.made[kind.model] += [record.pk for _old, record in made]
        self.report.made[kind.name] += len(made)
        self._bring_lists(kind, rows)

    def _bring_lists(self, kind: Kind, rows: list[dict[str, Any]]) -> None:
        """Rows of lists of the member's own records, such as the aims of a want list."""
        for many in kind.model._meta.many_to_many:
            here = self.ids.get(many.related_model, {})
            for row in rows:
                named = [here[old] for old in row.get(many.name) or () if old in here]
                if named and row["id"] in self.ids[kind.model]:
                    record = kind.model._base_manager.get(pk=self.ids[kind.model][row["id"]])
                    getattr(record, many.name).set(named)

    def _there_already(self, record: Model) -> int | None:
        """The id of what the member has that is the same: a place, an aim, a source, a search.

        What belongs to a piece has no like, since it comes only with a piece that is new.
        """
        names = {each.name for each in record._meta.concrete_fields}
        if isinstance(record, Holding) or not names & {"owner"}:
            return None
        same = {each.attname: getattr(record, each.attname) for each in _fields(type(record))}
        same = {name: value for name, value in same.items() if not isinstance(value, (list, dict))}
        twins = type(record)._base_manager.filter(**same)
        return cast("int | None", twins.values_list("pk", flat=True).first())

    # ---- one row ----
    def _record(self, kind: Kind, row: dict[str, Any]) -> Model:
        record = kind.model()
        own = _fields(kind.model)
        for each in own:
            if isinstance(each, ForeignKey):
                setattr(record, each.attname, self._linked(each, row))
            elif each.name in row:
                setattr(record, each.attname, _read(each, row[each.name]))
        if kind.model is Holding:
            self._check_number(record, row)
        if kind.model in _WITH_FILES:
            _WITH_FILES[kind.model](self, record, row)
        cast("Settle", kind.comes_back)(record, row, self.member)
        links = [each for each in own if isinstance(each, ForeignKey)]
        if any(getattr(record, link.attname) is None and not link.null for link in links):
            raise Follows
        loose = [each for each in own if isinstance(each, JSONField)]
        if any(not _like_default(each, getattr(record, each.attname)) for each in loose):
            raise LeftOut(_("it is no record that can be read."))
        try:
            record.clean_fields(exclude=[each.name for each in (*links, *loose)])
        except ValidationError as error:
            raise LeftOut(_in_words(error)) from error
        return record

    def _linked(self, link: ForeignKey[Any, Any], row: dict[str, Any]) -> int | None:
        """The id here of what a row names: the member's own by id, the catalogue's by key."""
        model = link.related_model
        old = row.get(link.attname)
        if model is Member:
            return self.member.pk if old is not None else None
        if old is None:
            return None
        here = self.ids[model].get(old) if model in self.ids else self._by_key(link, model, row)
        return here

    def _by_key(
        self, link: ForeignKey[Any, Any], model: type[Model], row: dict[str, Any]
    ) -> int | None:
        """A record of the catalogue; an issue within its type, a variety within its issue."""
        key = row.get(link.name + KEY) or row.get(link.name)
        asked: dict[str, Any] = {"key": key}
        for within in ("coin_type", "issue"):
            if any(each.name == within for each in model._meta.concrete_fields):
                parent = row.get(within + KEY) or row.get(within)
                if parent is not None:
                    asked[f"{within}__key"] = parent
        if model._meta.model_name == "variety":
            asked["issue__coin_type__key"] = row.get("coin_type")
        identity = (model, *sorted(asked.items(), key=str))
        if identity not in self.found:
            some = model._base_manager.filter(**asked).values_list("pk", flat=True)
            self.found[identity] = some.first()
        return self.found[identity]

    def _check_number(self, record: Any, row: dict[str, Any]) -> None:
        if record.accession in self._numbers_in_use:
            raise LeftOut(
                _("%(number)s is in the collection already and was left alone.")
                % {"number": record.accession}
            )
        if record.coin_type_id is None and row.get("coin_type"):
            self.report.left_out.append(
                _("%(number)s: its type %(key)s is not in this catalogue; it is unidentified now.")
                % {"number": record.accession, "key": row["coin_type"]}
            )

    @cached_property
    def _numbers_in_use(self) -> set[str]:
        held = Holding.everything.filter(owner=self.member)
        return set(held.values_list("accession", flat=True))

    # ---- files ----
    def photo(self, record: Any, row: dict[str, Any]) -> None:
        data = self._file(self._photo_names.get(row["id"]))
        try:
            prepared = prepare_kept(data)
        except PictureRefused as error:
            raise LeftOut(str(error)) from error
        if not self.rehearse:
            prepared.keep()
        record.digest = prepared.digest
        record.width, record.height = prepared.width, prepared.height

    def receipt(self, record: Any, row: dict[str, Any]) -> None:
        ending = f"-{row['id']}-{get_valid_filename(record.name)}"
        papers = (name for name in self.names if name.startswith("receipts/"))
        data = self._file(next((name for name in papers if name.endswith(ending)), None))
        if len(data) > LIMIT_BYTES:
            raise LeftOut(_("the paper is too large."))
        try:
            record.content_type, _ending = content_type_of(data)
        except ReceiptRefused as error:
            raise LeftOut(str(error)) from error
        record.file, record.size = f"receipts/{hashlib.sha256(data).hexdigest()}", len(data)
        if not self.rehearse:
            put_file(record.file, data)

    @cached_property
    def _photo_names(self) -> dict[int, str]:
        """By the number of the photograph's row, which ends the name of its file."""
        found = ((_PHOTO.fullmatch(name), name) for name in self.names)
        return {int(match[1]): name for match, name in found if match}

    def _file(self, name: str | None) -> bytes:
        if name is None:
            raise LeftOut(_("its file is not in the archive."))
        with self.archive.open(name) as file:
            data = file.read(LARGEST_FILE + 1)
        if len(data) > LARGEST_FILE:
            raise LeftOut(_("its file is too large."))
        return data


_WITH_FILES: dict[type[Model], Callable[[_Returning, Any, dict[str, Any]], None]] = {
    Photo: _Returning.photo,
    Receipt: _Returning.receipt,
}


def _outer_first(model: type[Model], rows: list[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    """Some rows at a time; of a table that names itself (places in places) the outer ones first."""
    inner = [f.attname for f in model._meta.concrete_fields if f.related_model is model]
    if not inner:
        yield from map(list, parcels(rows, _BATCH))
        return
    given = {row["id"] for row in rows}
    brought: set[int] = set()
    while rows:
        ready = [r for r in rows if all(r.get(n) not in given - brought for n in inner)]
        if not ready:  # a circle, which no honest archive has
            return
        yield ready
        brought |= {row["id"] for row in ready}
        rows = [row for row in rows if row["id"] not in brought]


def _in_order() -> list[Kind]:
    """The tables that come back, each after those that its rows name."""
    kinds = {
        kind.model: kind
        for part in member_data()
        for kind in part.kinds
        if kind.comes_back is not None
    }
    named = {
        model: {
            each.related_model
            for each in (*model._meta.concrete_fields, *model._meta.many_to_many)
            if each.related_model in kinds and each.related_model is not model
        }
        for model in kinds
    }
    return [kinds[model] for model in TopologicalSorter(named).static_order()]


def _fields(model: type[Model]) -> list[Field[Any, Any]]:
    return [
        each
        for each in model._meta.concrete_fields
        if not each.primary_key and each.name not in NOT_EXPORTED | _OWN_TIMES
    ]


def _like_default(column: JSONField[Any, Any], value: Any) -> bool:
    """Whether a value without a shape of its own is a list or a mapping as its column holds."""
    return isinstance(value, type(column.get_default()))


def _read(column: Field[Any, Any], value: Any) -> Any:
    try:
        return column.to_python(value)
    except ValidationError as error:
        raise LeftOut(f"{column.verbose_name}: {_in_words(error)}") from error


def _in_words(error: ValidationError) -> str:
    if not hasattr(error, "error_dict"):
        return " ".join(error.messages)
    return " ".join(f"{name}: {' '.join(said)}" for name, said in error.message_dict.items())
