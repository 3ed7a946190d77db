"""What is said of the rows of a list: why each is made, changed, refused or left.

Computed: English sentences from plain values.

>>> in_already("A.7", in_bin=False)
'This row is in already, as A.7.'
>>> steps_in_words([("grade", "VF", "EF"), ("note", "", "from Ole")])
'grade: VF becomes EF; note: from Ole is added.'
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

_SHOWN = 60
KINDS = {
    "section": "A heading of the rows below it, no piece.",
    "total": "A sum of the list, no piece.",
    "heading": "The names of the columns again, no piece.",
}
LEFT_BY_CHOICE = "Left out, as you chose."
NO_PIECES = "It says that there are no pieces: write how many, or leave the row out."
NO_TYPE = "The type that was chosen is no longer there: choose again."
NOT_KNOWN = "No type of the catalogue is like it."
NOT_SURE = "Several types may be meant: choose one."
AS_UNIDENTIFIED = "As an unidentified piece, with all its words."
PICTURE_OF_NO_ROW = "No row has its number or names it."
NOTHING_ELSE = "You have it already, and the list says nothing else of it."


def in_already(number: str, *, in_bin: bool) -> str:
    """The row came in with a list before."""
    where = f"as {number}, which lies in your bin" if in_bin else f"as {number}"
    return f"This row is in already, {where}."


def number_twice(number: str, line: int) -> str:
    return f"Line {line} has the number {number} too: give one of them another, or leave it out."


def number_in_bin(number: str) -> str:
    return (
        f"{number} belongs to a piece in your bin: take it back from there, or change the number."
    )


def number_of_another(number: str, piece: str, means: str) -> str:
    return (
        f"Your {number} is another piece ({piece}), and the list means {means}: change the number "
        "in the list, or leave the row out."
    )


def as_type(label: str, why: str) -> str:
    said = why.rstrip(".")
    return f"As {label}. {said}." if said else f"As {label}."


def as_provisional(value: str, country: str) -> str:
    return f"With a provisional type, {' of '.join(part for part in (value, country) if part)}."


def steps_in_words(steps: Sequence[tuple[str, str, str]]) -> str:
    """What changes on a piece: its name, what it was and what it becomes."""
    return "; ".join(_step(*step) for step in steps) + "."


def _step(what: str, was: str, becomes: str) -> str:
    if not was:
        return f"{what}: {_short(becomes)} is added"
    return f"{what}: {_short(was)} becomes {_short(becomes)}"


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= _SHOWN else plain[: _SHOWN - 1] + "…"


def and_more(sentences: Iterable[str]) -> str:
    """Sentences one after another; each ends with a full stop."""
    return " ".join(each if each.endswith((".", "?", "!")) else f"{each}." for each in sentences)


def unread_in_words(heading: str, text: str, why: str) -> str:
    """A cell that could not be read as its column says."""
    said = f": {why.rstrip('.')}" if why else ""
    return f"{heading} “{_short(text)}” is kept as text{said}."


def asked_in_words(heading: str, text: str, taken: str) -> str:
    """A cell that may be read in two ways, and how it is taken."""
    return f"{heading} “{_short(text)}” is taken as {taken}."
