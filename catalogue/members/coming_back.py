"""What a row of a member's archive needs before it is a record again.

An archive is read as something from outside: numbers of other records in it mean nothing here, and
what would lead to other members' records is dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext_lazy as _

from catalogue.holdings.actions import HoldingError, derive
from catalogue.holdings.grades import GradeError, grade
from catalogue.importing.reading.lists import ListError
from catalogue.importing.reading.lists import Mapping as Columns
from catalogue.models import ImportedList, ImportedRow, Stop

if TYPE_CHECKING:
    from catalogue.models import Member


class LeftOut(Exception):
    """Why a row of an archive is not brought back, in words."""


class Follows(LeftOut):
    """What it belongs to was left out, or is there with it already: nothing is said of it."""


Settle = Callable[[Any, dict[str, Any], "Member"], None]


def plainly(record: Any, row: dict[str, Any], member: Member) -> None:
    """A row of an archive is what its columns say."""


def held_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """What is derived is worked out anew; a piece of a type that is not here is unidentified."""
    if record.coin_type_id is None and row.get("coin_type"):
        named = " ".join(str(row[n]) for n in ("coin_type", "issue", "variety") if row.get(n))
        record.title = (record.title or named)[:200]
    try:
        derive(record)
    except HoldingError as error:
        raise LeftOut(str(error)) from error


def seen_again(record: Any, row: dict[str, Any], member: Member) -> None:
    texts = record.texts
    if not isinstance(texts, dict) or not all(isinstance(each, str) for each in texts.values()):
        raise LeftOut(_("it is no observation that can be read."))


def aimed_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """The rank of the lowest grade that will do is worked out anew."""
    code = record.lowest_grade
    try:
        record.lowest_rank = grade(record.grade_scale, code).rank if code else None
    except GradeError as error:
        raise LeftOut(str(error)) from error


def placed_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """Its path is told from the place that it stands in."""
    record.path = f"{record.within.path}, {record.name}" if record.within else record.name
    if len(record.path) > 400:
        raise LeftOut(_("it is nested too deeply."))


def closed(record: Any, row: dict[str, Any], member: Member) -> None:
    """A page for others comes back shown to nobody, until its owner opens it."""
    record.open_to_all = record.indexed = False


def stopped_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """A stop that the talk has already makes no double; the light is set whole or not at all."""
    same = ("talk_id", "position", "kind", "heading", "caption", "notes")
    alike = {name: getattr(record, name) for name in same}
    if Stop.everything.filter(**alike).exists():
        raise Follows
    if not record.light_side or record.light_clock is None:
        record.light_side, record.light_clock = "", None
    if not all(isinstance(each, dict) for each in record.drafted or ()):
        raise LeftOut(_("it is no stop that can be read."))


# ---- lists that were brought in ----
def list_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """A list of which rows were taken in comes back closed, any other with its columns to check.

    What it made beside its pieces was told by numbers that mean other records here.
    """
    record.mapping = _mapping(record.mapping)
    record.headings = _texts(record.headings)
    record.left_aside = [pair for pair in map(_texts, record.left_aside) if len(pair) == 2]
    record.made, record.message = {}, ""
    state = ImportedList.State
    record.state = state.COLUMNS if record.taken_at is None else state.DONE
    record.counts = {}
    record.done = 0


def row_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """A row keeps its text and what it became; one that was open is left out, and says so.

    The candidates were told by numbers too. The same file brought again offers such rows anew.
    """
    record.cells = _texts(record.cells)
    record.candidates = []
    record.reading = _reading(record.reading)
    record.pictures = [pair for pair in map(_texts, record.pictures) if len(pair) == 2]
    outcome = ImportedRow.Outcome
    if record.outcome in (outcome.MAKE, outcome.CHANGE, outcome.DOUBTFUL):
        record.outcome = outcome.LEFT
        record.reason = str(
            _("It was not taken in when the archive was made. Bring the list again to take it in.")
        )


def row_of_piece_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """Which piece a row made, so that it makes no second one; it is no longer taken back.

    A version that no piece has, and nothing of what was before: both would be changes by numbers.
    """
    record.version, record.before, record.photos = 0, None, []


def mapped_again(record: Any, row: dict[str, Any], member: Member) -> None:
    record.mapping = _mapping(record.mapping)
    record.headings = _texts(record.headings)


def _mapping(kept: Mapping[str, Any]) -> dict[str, Any]:
    """What is said of the columns, as far as it can be; {} says nothing."""
    if not kept:
        return {}
    try:
        found = Columns.from_json(kept).as_json()
    except (ListError, KeyError, TypeError, ValueError, OverflowError) as error:
        raise LeftOut(_("what its columns are cannot be read.")) from error
    for name in ("currency", "visibility"):
        if isinstance(kept.get(name), str):
            found[name] = kept[name]
    answers = kept.get("answers")
    if isinstance(answers, dict):
        found["answers"] = {k: n for k, n in answers.items() if type(n) is int}
    return found


def _texts(kept: Any) -> list[str]:
    return [each for each in kept if isinstance(each, str)] if isinstance(kept, list) else []


def _reading(kept: Mapping[str, Any]) -> dict[str, Any]:
    """What was read of a row, with the parts that a page shows in their shapes."""
    if not kept:
        return {}
    said = kept.get("piece")
    piece: dict[str, Any] = dict(said) if isinstance(said, dict) else {}
    for name, shape in (("fields", dict), ("pictures", dict), ("place", str), ("imported", str)):
        if not isinstance(piece.get(name), shape):
            piece[name] = shape()
    piece["title"] = str(piece.get("title", ""))
    return {**kept, "kind": str(kept.get("kind", "")), "piece": piece}
