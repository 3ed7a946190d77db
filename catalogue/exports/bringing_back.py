"""A member's archive brought back: into another site, or into one that has lost it.

What an archive holds is read as something from outside (``opening``): every row is checked by its
model as a form would, every picture and paper is opened apart (``decoded``) before anything is
written. What is there already (an accession number in use) is left alone, so that the same archive
twice makes no doubles. All or nothing; stored files that no record names are cleared away as
always.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from graphlib import TopologicalSorter
from itertools import islice
from pathlib import PurePosixPath
from typing import IO, Any, cast

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import Field, ForeignKey, JSONField, Model
from django.utils.text import get_valid_filename
from django.utils.translation import gettext as _

from catalogue.exports.archive import KEY
from catalogue.exports.decoded import Decoded, decode, keep_by_digest, numbers_in_use
from catalogue.exports.opening import LARGEST_LIST, ArchiveRefused, Opened, open_archive
from catalogue.history.keeping import doing
from catalogue.holdings.actions import lock_numbers
from catalogue.holdings.changes import note_holdings
from catalogue.importing.judging import recount
from catalogue.members.coming_back import Follows, LeftOut, Settle
from catalogue.members.member_data import NOT_EXPORTED, Kind, member_data
from catalogue.members.models import Member
from catalogue.models import Holding, ImportedList, ImportedPiece, ImportedRow, Photo, Receipt
from series.parcels import parcels
from series.records import everything_of

_BATCH = 500
_LONGEST_NUMBER = 60
_OWN_TIMES = {"row_version", "created_at", "changed_at", "added_at", "made_at"}
"""Columns that tell of the record here, and begin anew."""


@dataclass
class BroughtBack:
    """What came of it: how many rows of each table, and what was left out and why.

    ``here``: the numbers of pieces that are in the collection already, and were left alone.
    """

    made: Counter[str] = field(default_factory=Counter)
    here: list[str] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


def no_tell(done: int, total: int) -> None:
    """Nobody looks at how far it is."""


def nothing_more(report: BroughtBack) -> None:
    """Nothing is to be noted with what was brought back."""


def bring_back(
    file: IO[bytes],
    member: Member,
    *,
    rehearse: bool = False,
    tell: Callable[[int, int], None] = no_tell,
    note: Callable[[BroughtBack], None] = nothing_more,
) -> BroughtBack:
    """Make the archive's records the member's; ``rehearse`` does all of it and keeps nothing.

    Types are found by their keys. A piece whose type is not in this catalogue comes back
    unidentified, with the key in its working title. Pictures are decoded before anything is
    written, and ``tell`` says how many; ``note`` is called in the transaction that keeps it all.
    Raises ArchiveRefused.
    """
    opened = open_archive(file)
    with opened.archive:
        decoded = decode(opened, member, tell, keep=not rehearse)
        with transaction.atomic(), doing(member, _("An archive brought back")):
            report = _Returning(opened, member, decoded, rehearse).all()
            note(report)
            if rehearse:
                transaction.set_rollback(True)
    return report


@dataclass
class _Returning:
    opened: Opened
    member: Member
    decoded: Decoded
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
            for some in _outer_first(kind.model, self.opened.rows(kind.name)):
                self._bring(kind, some)
        for held in parcels(self.made[Holding], _BATCH):
            note_holdings(held)
        for brought in ImportedList.objects.filter(pk__in=self.made[ImportedList]):
            recount(brought)
            brought.save(update_fields=["counts"])
        return self.report

    def _bring(self, kind: Kind, rows: list[dict[str, Any]]) -> None:
        made: list[tuple[int, Model]] = []
        for row in rows:
            try:
                record = self._record(kind, row)
            except LeftOut as why:
                if not isinstance(why, Follows):
                    name = kind.name.replace("_", " ")
                    told = str(row.get("accession") or row["id"])[:_LONGEST_NUMBER]
                    self.report.left_out.append(f"{name} {told}: {why}")
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
                said = row.get(many.name)
                named = (
                    [here[n] for n in said if _is_number(n) and n in here]
                    if isinstance(said, list)
                    else []
                )
                if named and row["id"] in self.ids[kind.model]:
                    record = kind.model._base_manager.get(pk=self.ids[kind.model][row["id"]])
                    getattr(record, many.name).set(named)

    def _there_already(self, record: Model) -> int | None:
        """The id of what the member has that is the same: a place, an aim, a source, a list.

        What belongs to a piece has no like, since it comes only with a piece that is new.
        """
        told_by = _TOLD_BY.get(type(record))
        if told_by is None:
            names = {each.name for each in record._meta.concrete_fields}
            if isinstance(record, Holding) or not names & {"owner"}:
                return None
            told_by = tuple(each.attname for each in _fields(type(record)))
        elif isinstance(record, ImportedRow) and record.of_id in self.made[ImportedList]:
            return None
        same = {name: getattr(record, name) for name in told_by}
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
        loose = [each for each in own if isinstance(each, JSONField)]
        if any(not _like_default(each, getattr(record, each.attname)) for each in loose):
            raise LeftOut(_("it is no record that can be read."))
        cast("Settle", kind.comes_back)(record, row, self.member)
        links = [each for each in own if isinstance(each, ForeignKey)]
        if any(getattr(record, link.attname) is None and not link.null for link in links):
            raise Follows
        try:
            record.clean_fields(exclude=[each.name for each in (*links, *loose)])
        except ValidationError as error:
            raise LeftOut(_in_words(error)) from error
        return record

    def _linked(self, link: ForeignKey[Any, Any], row: dict[str, Any]) -> int | None:
        """The id here of what a row names: the member's own by id, the catalogue's by key."""
        model = link.related_model
        old: Any = row.get(link.attname)
        if model is Member:
            return self.member.pk if old is not None else None
        if not _is_number(old):
            return None
        here = self.ids[model].get(old) if model in self.ids else self._by_key(link, model, row)
        return here

    def _by_key(
        self, link: ForeignKey[Any, Any], model: type[Model], row: dict[str, Any]
    ) -> int | None:
        """A record of the catalogue; an issue within its type, a variety within its issue."""
        key = row.get(link.name + KEY) or row.get(link.name)
        if not hasattr(model, "key"):
            return None
        asked: dict[str, Any] = {"key": key}
        for within in ("coin_type", "issue"):
            if any(each.name == within for each in model._meta.concrete_fields):
                parent = row.get(within + KEY) or row.get(within)
                if parent is not None:
                    asked[f"{within}__key"] = parent
        if model._meta.model_name == "variety":
            asked["issue__coin_type__key"] = row.get("coin_type")
        if not all(isinstance(each, str) for each in asked.values()):
            return None
        identity = (model, *sorted(asked.items(), key=str))
        if identity not in self.found:
            some = model._base_manager.filter(**asked).values_list("pk", flat=True)
            self.found[identity] = some.first()
        return self.found[identity]

    def _check_number(self, record: Any, row: dict[str, Any]) -> None:
        if record.accession in self._numbers_in_use:
            self.report.here.append(record.accession)
            raise Follows
        if record.coin_type_id is None and row.get("coin_type"):
            self.report.left_out.append(
                _("%(number)s: its type %(key)s is not in this catalogue; it is unidentified now.")
                % {"number": record.accession, "key": row["coin_type"]}
            )

    @cached_property
    def _numbers_in_use(self) -> set[str]:
        return numbers_in_use(self.member)

    # ---- files ----
    def photo(self, record: Any, row: dict[str, Any]) -> None:
        known = self.decoded.photo(row)
        record.digest, record.width, record.height = known.digest, known.width, known.height

    def receipt(self, record: Any, row: dict[str, Any]) -> None:
        known = self.decoded.receipt(row)
        record.content_type, record.file, record.size = known.kind, known.file, known.size

    def listed(self, record: Any, row: dict[str, Any]) -> None:
        record.file, record.digest = self._stored(f"{row['id']}-{record.name}")
        if record.pictures:
            try:
                record.pictures, _digest = self._stored(f"{row['id']}-pictures.zip")
            except LeftOut:
                record.pictures = ""

    def _stored(self, name: str) -> tuple[str, str]:
        """The name and SHA-256 under which the file of a list is kept."""
        wanted = f"lists/{get_valid_filename(name)}"
        with self.opened.stream(wanted if wanted in self.opened.names else None, LARGEST_LIST) as f:
            return keep_by_digest(f, PurePosixPath(wanted).suffix, keep=not self.rehearse)


_WITH_FILES: dict[type[Model], Callable[[_Returning, Any, dict[str, Any]], None]] = {
    Photo: _Returning.photo,
    Receipt: _Returning.receipt,
    ImportedList: _Returning.listed,
}


_TOLD_BY: dict[type[Model], tuple[str, ...]] = {
    ImportedList: ("owner_id", "digest", "sheet", "taken_at"),
    ImportedRow: ("of_id", "line"),
    ImportedPiece: ("row_id",),
}
"""What tells one of the member's lists, and what hangs on it, where other columns may differ."""


def _outer_first(
    model: type[Model], rows: Iterator[dict[str, Any]]
) -> Iterator[list[dict[str, Any]]]:
    """Some rows at a time; of a table that names itself (places in places) the outer ones first."""
    inner = [f.attname for f in model._meta.concrete_fields if f.related_model is model]
    if not inner:
        yield from iter(lambda: list(islice(rows, _BATCH)), [])
        return
    left = list(rows)
    waiting = {row["id"] for row in left}
    while left:
        ready = [
            r for r in left if not any(_is_number(r.get(n)) and r[n] in waiting for n in inner)
        ]
        if not ready:  # a circle, which no honest archive has
            return
        yield ready
        waiting -= {row["id"] for row in ready}
        left = [row for row in left if row["id"] in waiting]


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


def _is_number(value: Any) -> bool:
    """Whether it can be the number of a row; True is no number."""
    return type(value) is int


def _like_default(column: JSONField[Any, Any], value: Any) -> bool:
    """Whether a value without a shape of its own is a list or a mapping as its column holds."""
    return column.null or isinstance(value, type(column.get_default()))


def _read(column: Field[Any, Any], value: Any) -> Any:
    try:
        return column.to_python(value)
    except ValidationError as error:
        raise LeftOut(f"{column.verbose_name}: {_in_words(error)}") from error
    except (TypeError, ValueError, ArithmeticError) as error:
        raise LeftOut(_("%(column)s cannot be read.") % {"column": column.verbose_name}) from error


def _in_words(error: ValidationError) -> str:
    if not hasattr(error, "error_dict"):
        return " ".join(error.messages)
    return " ".join(f"{name}: {' '.join(said)}" for name, said in error.message_dict.items())
