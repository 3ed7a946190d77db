"""One issue as a page edits it: its date as written, mintage, varieties and references."""

from __future__ import annotations

from dataclasses import dataclass, replace

from series.dates.issue_keys import LONGEST, numbered
from series.dates.written import DateError
from series.entries.stored_types import mark_identity
from series.entries.tables import ReferenceText
from series.models import Issue, Mark, Variety
from series.text.keys import key_from
from series.types.dates_editing import Wanted, dates_text, issue_fields, plan_dates, stored_type
from series.types.editing import named_marks, save_references, settle
from series.types.lines import write_references


@dataclass(frozen=True)
class IssueWords:
    wanted: Wanted
    varieties: tuple[tuple[str, str], ...]
    references: tuple[ReferenceText, ...]


def issue_texts(issue: Issue) -> dict[str, str]:
    """The parts of an issue as the texts of its form."""
    stored = stored_type(issue.coin_type)
    entry = stored.issues[issue.key].entry
    stored.entry = replace(stored.entry, issues=(entry,))
    return {
        "date": dates_text(stored),
        "varieties": "\n".join(
            f"{each.name}: {' '.join(each.description.split())}".rstrip(": ")
            for each in issue.varieties.filter(deleted_at=None).order_by("key")
        ),
        "references": write_references(entry.references),
    }


def plan_issue(issue: Issue, text: str) -> Wanted:
    """Read the date of an issue; DateError if it is none, several, or that of another issue."""
    stored = stored_type(issue.coin_type)
    own = stored.issues.pop(issue.key)
    plan = plan_dates(text, named_marks(issue.coin_type), stored)
    if len(plan.wanted) != 1:
        raise DateError(
            f"'{text}' names {len(plan.wanted)} dates: write the one of this issue, such as "
            "1947 S. More dates are added on the page of the type.",
            text,
        )
    wanted = plan.wanted[0]
    other = wanted.record
    if other is not None and other.deleted_at is None and not other.withdrawn:
        same = (other.struck_from, other.struck_to, other.note)
        dated = wanted.dated
        if same == (dated.struck_from, dated.struck_to, dated.note):
            raise DateError(
                f"'{text}' is another issue of this type: tell them apart by a mark, a year of "
                "striking in brackets or a remark in quotes.",
                text,
            )
    wanted.record, wanted.key, wanted.position = own.record, issue.key, own.record.position
    return wanted


def save_issue(issue: Issue, words: IssueWords) -> None:
    """Save the parts of an issue, itself saved just after; call it in one transaction."""
    coin_type = issue.coin_type
    marks = {mark_identity(m): m for m in Mark.objects.filter(coin_type=coin_type)}
    issue.marks.set([marks[name] for name in words.wanted.marks if name in marks])
    _save_varieties(issue, words.varieties)
    save_references(issue, words.references)
    settle([coin_type.pk])


def apply_date(issue: Issue, wanted: Wanted) -> None:
    """Put the date as written into the columns of the issue, unsaved."""
    for name, value in issue_fields(wanted).items():
        setattr(issue, name, value)


def left_out(issue: Issue, said: tuple[tuple[str, str], ...]) -> list[Variety]:
    """The varieties of an issue that the names said leave out."""
    names = {name for name, _text in said}
    return [v for v in Variety.objects.filter(issue=issue) if v.name not in names]


def _save_varieties(issue: Issue, said: tuple[tuple[str, str], ...]) -> None:
    stored = list(Variety.everything.filter(issue=issue).order_by("-deleted_at", "pk"))
    keys = {variety.key for variety in stored}
    for variety in left_out(issue, said):
        variety.bin()
    for name, text in said:
        found = next((v for v in stored if v.name == name), None)
        if found is None:
            key = numbered(key_from(name)[: LONGEST - 5], keys)
            keys.add(key)
            Variety.objects.create(issue=issue, key=key, name=name, description=text)
        elif found.deleted_at is not None or " ".join(found.description.split()) != text:
            found.description, found.deleted_at = text, None
            found.save()
