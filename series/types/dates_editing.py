"""The dates of a type as one text: read against what is stored, and saved without losing any.

An issue that is stored already is found again, by what tells it from the others or by its key,
and changed in place, so that whatever refers to it stays. One that is left out goes into the bin
and comes back out of it when its date is written again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from series.dates.issue_keys import issue_key
from series.dates.runs import DatedIssue, parse_run, write_run
from series.dates.written import DateError
from series.entries.marks import date_fields, dated_issue, mark_ids, mark_text, too_long
from series.entries.stored_types import StoredType, mark_identity, stored_types
from series.entries.tables import MarkText
from series.models import CoinType, Issue, Mark


@dataclass
class Wanted:
    """An issue as written: its marks by identity, their texts, and the stored issue it is."""

    dated: DatedIssue
    marks: tuple[str, ...]
    texts: tuple[str, ...]
    key: str = ""
    record: Issue | None = None
    position: int = 0
    same_marks: bool = False
    """Whether the stored issue bears these very marks already."""


@dataclass
class DatesPlan:
    """What saving the dates would do: what they become, and which issues are left out."""

    wanted: list[Wanted] = field(default_factory=list)
    removed: list[Issue] = field(default_factory=list)
    unmade: list[Issue] = field(default_factory=list)
    """Issues that were struck and now are said not to have been."""


def stored_type(coin_type: CoinType) -> StoredType:
    return stored_types(CoinType.everything.filter(pk=coin_type.pk))[coin_type.key]


def dates_text(stored: StoredType) -> str:
    """The issues of a type that are neither withdrawn nor in the bin, as one writes them."""
    ids = mark_ids(stored.entry.marks)
    return write_run(dated_issue(issue, ids) for issue in stored.entry.issues)


def plan_dates(text: str, marks: Sequence[MarkText], stored: StoredType | None) -> DatesPlan:
    """Read the dates; DateError says what cannot be read. Nothing is saved.

    ``marks`` are those of the type; a mark that dates name and the type does not describe is
    kept as its text alone.
    """
    by_id = {name: identity for identity, name in mark_ids(tuple(marks)).items()}
    texts = {mark.identity: mark.text for mark in marks}
    plan = DatesPlan()
    positions: Counter[int | None] = Counter()
    for dated in parse_run(text):
        identities = sorted(by_id.get(mark, mark) for mark in dated.marks)
        names = tuple(texts.get(identity, identity) for identity in identities)
        wanted = Wanted(dated, tuple(identities), names, position=positions[dated.struck_from])
        positions[dated.struck_from] += 1
        for message in too_long(dated, names):
            raise DateError(f"T{message[1:]}", dated.shown)
        plan.wanted.append(wanted)
    at_hand = stored.issues.values() if stored else ()
    issues = [each.record for each in at_hand]
    _match(plan.wanted, issues)
    before = {each.record.pk: set(each.entry.marks) for each in at_hand}
    for wanted in plan.wanted:
        if wanted.record is not None:
            wanted.same_marks = before[wanted.record.pk] == set(wanted.marks)
    taken = {issue.key for issue in issues}
    for wanted in plan.wanted:
        wanted.key = wanted.record.key if wanted.record else _new_key(wanted, taken)
        taken.add(wanted.key)
    used = {wanted.record.pk for wanted in plan.wanted if wanted.record}
    live = [issue for issue in issues if issue.deleted_at is None and not issue.withdrawn]
    plan.removed = [issue for issue in live if issue.pk not in used]
    plan.unmade = [
        wanted.record
        for wanted in plan.wanted
        if wanted.record
        and wanted.dated.fact == Issue.Fact.NOT_STRUCK
        and wanted.record.fact != Issue.Fact.NOT_STRUCK
    ]
    return plan


def _new_key(wanted: Wanted, taken: set[str]) -> str:
    return issue_key(wanted.dated, wanted.texts, taken)


# ---- finding stored issues again ----
def _match(wanted: Sequence[Wanted], issues: Iterable[Issue]) -> None:
    """Give each issue written the stored one it is, the surest ways first."""
    # Of two that fit, one that stands is taken before one that is withdrawn or in the bin.
    left = sorted(issues, key=lambda i: (i.deleted_at is not None, i.withdrawn, i.pk))
    ways: tuple[tuple[Callable[[Wanted], Any], Callable[[Issue], Any]], ...] = (
        (lambda w: (*_looks(w), *_more(w)), lambda i: (*looks_of(i), *more_of(i))),
        (lambda w: _new_key(w, set()), lambda i: i.key),
        (_looks, looks_of),
    )
    for of_wanted, of_issue in ways:
        places: dict[Any, list[Issue]] = {}
        for issue in left:
            places.setdefault(of_issue(issue), []).append(issue)
        for one in wanted:
            if one.record is None and (found := places.get(of_wanted(one))):
                one.record = found.pop(0)
                left.remove(one.record)


def _looks(wanted: Wanted) -> tuple[Any, ...]:
    dated = wanted.dated
    return dated.shown, dated.calendar, tuple(sorted(wanted.texts)), dated.purpose


def looks_of(issue: Issue) -> tuple[Any, ...]:
    """What a stored issue is known by: its date as shown, its marks and purpose."""
    marks = tuple(sorted(filter(None, issue.mark_text.split("+"))))
    return issue.shown, issue.calendar, marks, issue.purpose


def _more(wanted: Wanted) -> tuple[Any, ...]:
    return wanted.dated.struck_from, wanted.dated.struck_to, wanted.dated.note


def more_of(issue: Issue) -> tuple[Any, ...]:
    """What tells it from another that looks the same."""
    return issue.struck_from, issue.struck_to, issue.note


# ---- saving ----
def save_dates(coin_type: CoinType, plan: DatesPlan) -> list[Issue]:
    """Do what the plan says; return the issues in the order written. The marks are saved."""
    marks = {mark_identity(mark): mark for mark in Mark.objects.filter(coin_type=coin_type)}
    saved = [_save(coin_type, wanted, marks) for wanted in plan.wanted]
    for issue in plan.removed:
        issue.bin()
    return saved


def _save(coin_type: CoinType, wanted: Wanted, marks: dict[str, Mark]) -> Issue:
    issue = wanted.record or Issue(coin_type=coin_type, key=wanted.key)
    changed = issue.pk is None
    for name, value in issue_fields(wanted).items():
        if getattr(issue, name) != value:
            setattr(issue, name, value)
            changed = True
    if changed:
        issue.save()
    if not wanted.same_marks:
        issue.marks.set([marks[identity] for identity in wanted.marks if identity in marks])
    return issue


def issue_fields(wanted: Wanted) -> dict[str, Any]:
    """The columns of an issue that its date, as written, fills."""
    return {
        **date_fields(wanted.dated),
        "mark_text": mark_text(wanted.texts),
        "position": wanted.position,
        "deleted_at": None,
        "withdrawn": False,
    }
