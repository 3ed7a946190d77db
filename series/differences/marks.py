"""What changed in the marks: where they stand, and which there are.

What is computed: steps (:class:`series.differences.facts.Change`) between two types from their
recorded marks. Marks of one kind that share a place are followed as one, whatever their letters.

>>> from series.differences.facts import MarkFacts
>>> old = TypeFacts(marks=(MarkFacts("mint", "S", "reverse", Decimal(6)),))
>>> new = TypeFacts(marks=(MarkFacts("mint", "K", "reverse", Decimal("3.5")),))
>>> [step.words for step in mark_changes(old, new)]
["mint mark from 6 o'clock to half past 3", 'mint mark K in place of S']
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from series.differences.facts import Change, MarkFacts, TypeFacts
from series.entries.choices import MarkKind
from series.text.english import beside, listed
from series.text.words import clock_text

MARK_KINDS = {kind.value: kind.words for kind in MarkKind}


def mark_changes(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    for kind, name in MARK_KINDS.items():
        old = [mark for mark in before.marks if mark.kind == kind]
        new = [mark for mark in after.marks if mark.kind == kind]
        if not (old or before.described) or not (new or after.described):
            continue
        if old and new:
            yield from _places(kind, name, old, new)
        yield from _texts(kind, name, old, new)


def _places(kind: str, name: str, old: list[MarkFacts], new: list[MarkFacts]) -> Iterator[Change]:
    """Where marks stand: of all of a kind when they share one place, else of each."""
    if len(set(map(_place, old))) == len(set(map(_place, new))) == 1:
        yield from _place_change(kind, name, old[0], new[0])
        return
    for mark in old:
        like = [other for other in new if other.text == mark.text]
        if len(like) == 1 and sum(other.text == mark.text for other in old) == 1:
            yield from _place_change(f"{kind} {mark.text}", f"{name} {mark.text}", mark, like[0])


def _place(mark: MarkFacts) -> tuple[str, Decimal | None, str]:
    return mark.side, mark.clock, mark.near


def _place_change(kind: str, name: str, old: MarkFacts, new: MarkFacts) -> Iterator[Change]:
    was, now = _place_words(old), _place_words(new)
    if old.side != new.side:
        words = f"{name} from {was} on the {old.side} to {now} on the {new.side}"
        if not was or not now:
            words = f"{name} from {old.side} to {new.side}"
        was, now = f"{was} {old.side}".strip(), f"{now} {new.side}".strip()
    elif None not in (old.clock, new.clock) and old.clock != new.clock:
        was, now = clock_text(old.clock), clock_text(new.clock)
        begin = was.removesuffix(" o'clock") if now.endswith("o'clock") else was
        words = f"{name} from {begin} to {now}"
    elif old.near and new.near and old.near != new.near:
        was, now = beside(old.near), beside(new.near)
        words = f"{name} {now} where it was {was}"
    else:
        return
    yield Change(f"{kind} place", was, now, words)


def _place_words(mark: MarkFacts) -> str:
    return clock_text(mark.clock) or beside(mark.near)


def _texts(kind: str, name: str, old: list[MarkFacts], new: list[MarkFacts]) -> Iterator[Change]:
    was, now = [dict.fromkeys(m.text for m in marks) for marks in (old, new)]
    gone = [text for text in was if text not in now]
    come = [text for text in now if text not in was]
    if gone and come:
        words = f"{_named(name, come)} in place of {listed(gone)}"
    elif gone:
        words = f"{_named(name, gone)} gone" if new else f"no {name} where there was {listed(gone)}"
    elif come:
        words = _named(name, come) + (" new" if old else f" placed{_at(new)}")
    else:
        return
    yield Change(f"{kind} text", listed(gone), listed(come), words)


def _named(name: str, texts: list[str]) -> str:
    return f"{name}{'s' if len(texts) > 1 else ''} {listed(texts)}"


def _at(marks: list[MarkFacts]) -> str:
    if len(set(map(_place, marks))) != 1:
        return ""
    where = _place_words(marks[0])
    where = f" at {where}" if marks[0].clock is not None else f" {where}" if where else ""
    return f"{where} on the {marks[0].side}"
