"""What was changed of a record, in words.

Computed: sentences from texts of what was and what becomes. Units: none. Source: common usage.

>>> changed("grade", "VF", "EF").words, changed("title", "A disc", "A token").words
('grade VF to EF', 'title from “A disc” to “A token”')
>>> print(changed("mass, g", "", "5.02").words, changed("mass read to ± g", "0.1", "0.01").words)
mass 5.02\xa0g mass read to ±\xa00.1\xa0g to ±\xa00.01\xa0g
>>> moved("Drawer 2", "Album A, page 3").words, moved("", "Drawer 2").words
('moved from Drawer 2 to Album A, page 3', 'placed in Drawer 2')
>>> identified("", "25 tinne").words, added("problem", "cleaned").words
('identified as 25 tinne', 'problem added: cleaned')
>>> summed_up(2000, "T.1", ["placed in Drawer 2"])
'2,000 records; one of them, T.1: placed in Drawer 2'
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

NO_BREAK = "\N{NO-BREAK SPACE}"
BRIEF = 12
"""Texts of a word up to this length need no quotes around them."""
LONGEST = 80
"""Longer texts are cut where a sentence quotes them; a history shows them whole."""


@dataclass(frozen=True)
class Step:
    """One thing that changed, what it was, what it became, and all of it as one sentence."""

    what: str
    was: str
    becomes: str
    words: str


def short(text: str) -> str:
    """A text on one line, cut where it is long.

    >>> short("one\\ntwo"), len(short("a" * 200)), short("some words " * 9)[-12:]
    ('one two', 80, 'some words …')
    """
    line = " ".join(text.split())
    if len(line) <= LONGEST:
        return line
    cut = line[: LONGEST - 2]
    return (cut.rpartition(" ")[0] or cut) + " …"


def changed(label: str, was: str, becomes: str) -> Step:
    """Another value; the unit that stands at the end of a label goes to the values."""
    what, before_it, unit = _with_unit(label)
    was, becomes = (f"{before_it}{text}{unit}" if text else "" for text in (was, becomes))
    brief = all(len(text) <= BRIEF and " " not in text for text in (was, becomes))
    before, after = (was, becomes) if brief else (short(was), short(becomes))
    if was and becomes:
        words = f"{before} to {after}" if brief else f"from “{before}” to “{after}”"
        return Step(what, was, becomes, f"{what} {words}")
    words = f" {after}" if becomes else f" {before} taken out"
    return Step(what, was, becomes, what + (words if brief else f":{words}"))


def _with_unit(label: str) -> tuple[str, str, str]:
    """What is measured, and what stands before and after a figure of it."""
    for parting, before in ((", ", ""), (" ± ", "± ")):
        what, found, unit = label.partition(parting)
        if found:
            return what, before.replace(" ", NO_BREAK), f"{NO_BREAK}{unit}"
    return label, "", ""


def moved(was: str, becomes: str) -> Step:
    """From one place to another."""
    if was and becomes:
        words = f"moved from {was} to {becomes}"
    else:
        words = f"placed in {becomes}" if becomes else f"taken out of {was}"
    return Step("place", was, becomes, words)


def identified(was: str, becomes: str) -> Step:
    """Of another type, or for the first time of one."""
    if was and becomes:
        words = f"type {was} to {becomes}"
    else:
        words = f"identified as {becomes}" if becomes else f"no longer identified as {was}"
    return Step("type", was, becomes, words)


def spare(now: bool) -> Step:
    """
    >>> spare(True).words
    'offered as a spare'
    """
    words = "offered as a spare" if now else "no longer a spare"
    return Step("spare", "no" if now else "yes", "yes" if now else "no", words)


def binned(what: str, now: bool) -> Step:
    """
    >>> binned("", True).words, binned("photograph, obverse", False).words
    ('put into the bin', 'photograph, obverse: taken back from the bin')
    """
    words = "put into the bin" if now else "taken back from the bin"
    bin_, here = "in the bin", "here"
    was, becomes = (here, bin_) if now else (bin_, here)
    return Step(what or "bin", was, becomes, f"{what}: {words}" if what else words)


def added(label: str, text: str) -> Step:
    return Step(label, "", text, f"{label} added: {short(text)}" if text else f"{label} added")


def removed(label: str, text: str) -> Step:
    """
    >>> removed("problem", "cleaned").words
    'problem removed: cleaned'
    """
    words = f"{label} removed: {short(text)}" if text else f"{label} removed"
    return Step(label, text, "", words)


def of_part(label: str, text: str, step: Step) -> Step:
    """A change of a part of the record.

    >>> of_part("photograph", "obverse", changed("side", "obverse", "edge")).words
    'photograph obverse: side obverse to edge'
    """
    part = f"{label} {short(text)}".strip()
    return Step(f"{part}: {step.what}", step.was, step.becomes, f"{part}: {step.words}")


def summed_up(records: int, name: str, sentences: Sequence[str], why: str = "") -> str:
    """What was done to a record, or to many of which one is an example.

    >>> summed_up(1, "A.7", ["grade VF to EF"]), summed_up(57, "A.7", ["entered"], "List taken in")
    ('A.7: grade VF to EF', 'List taken in: 57 records')
    """
    if why and records > 1:
        return f"{why}: {records:,} records"
    said = "; ".join(sentences)
    if records == 1:
        return f"{name}: {said}" if said else name
    return f"{records:,} records; one of them, {name}: {said}"


def acquired(source: str, price: str) -> str:
    """
    >>> acquired("Ole Tarn", "EUR 12.50"), acquired("", "")
    ('acquired from Ole Tarn, EUR 12.50', 'acquired')
    """
    from_whom = f" from {source}" if source else ""
    return f"acquired{from_whom}" + (f", {price}" if price else "")


def graded(grade: str, by: str) -> str:
    """
    >>> graded("VF", "a friend"), graded("", "")
    ('graded VF by a friend', 'graded')
    """
    return " ".join(["graded", *([grade] if grade else []), *([f"by {by}"] if by else [])])


def happened(status: str, with_whom: str, paid: str, note: str) -> str:
    """
    >>> happened("on loan", "the museum", "", "until May")
    'on loan, the museum; until May'
    """
    said = ", ".join(part for part in (status, with_whom, paid) if part)
    return f"{said}; {note}" if note else said


def photographed(sides: Sequence[str]) -> str:
    """
    >>> photographed(["obverse", "reverse"])
    'photographed: obverse, reverse'
    """
    return f"photographed: {', '.join(sides)}"


def promised(member: str) -> str:
    """
    >>> promised("Ann")
    'promised to Ann'
    """
    return f"promised to {member}"


def entered(why: str) -> str:
    """
    >>> entered(""), entered("import of list.csv")
    ('entered', 'entered: import of list.csv')
    """
    return f"entered: {why}" if why else "entered"


LOOKED_AT = "looked at closely, and what was seen put down"
NO_LONGER_SHOWN = "one that is no longer shown"
