"""What the papers and files of a talk say by themselves, in English.

Computed: sentences from plain values; lengths in mm, sizes of type in points. Another language is
another such module.

>>> stops_in(1), stops_in(31)
('one stop', '31 stops')
>>> distance_words(500), distance_words(2000)
('50 cm', '2 m')
"""

from __future__ import annotations

from collections.abc import Sequence

from catalogue.printing.words import area
from series.text.english import some_of
from series.text.words import number

CONTINUED = "continued"
TRUE_SIZE = "coins drawn to true size"
NO_COIN = "not drawn: wider than the paper"
NOT_HELD = "not held"
PLANNED = "The times are as planned, not measured."
REHEARSED = "The times were taken in a rehearsal."
PARTLY_REHEARSED = (
    "The times were taken in a rehearsal; stops that were added since have their planned time."
)
MARKED = "The times are marks of a recording."


def stops_in(number_of: int) -> str:
    return "one stop" if number_of == 1 else f"{number_of} stops"


def run_on(lines: Sequence[str]) -> str:
    """Short lines as one paragraph: sentences follow each other, other lines are parted by dots.

    >>> run_on(["1 marl = 100 tinne", "1 marl bought two loaves in 1925.", "It ended in 1959."])
    '1 marl = 100 tinne · 1 marl bought two loaves in 1925. It ended in 1959.'
    """
    said = ""
    for line in filter(None, lines):
        joint = " " if said.endswith((".", "!", "?")) else " · "
        said += f"{joint}{line}" if said else line
    return said


def by(name: str) -> str:
    return f"by {name}" if name else ""


def hand_out(title: str) -> str:
    return f"Hand-out: {title}"


def cards_of(title: str) -> str:
    return f"Case cards: {title}"


def case_of(title: str) -> str:
    return f"Plan of the case: {title}"


def distance_words(mm: float) -> str:
    return f"{number(mm / 1000, 2)} m" if mm >= 1000 else f"{number(mm / 10, 1)} cm"


def points(size: float) -> str:
    return f"{number(size, 1)} pt"


# ---- case cards ----
def both_sizes(distance: float, accessible: float, legible: float) -> str:
    """The sizes of type for a distance, and what each is good for."""
    all_read, just = points(accessible), points(legible)
    return (
        f"Read from {distance_words(distance)}: {all_read} so that everybody can read it, {just} "
        "so that it can just be read."
    )


def goes_on(cards: int) -> str:
    return f"too long for one card of this paper, so it goes on: {cards} cards"


def long_sentence(has: int, most: int) -> str:
    return f"a sentence of {has} words (at most {most})"


def long_label(has: int, most: int) -> str:
    return f"{has} words in all (at most {most})"


def short_lines(has: int, least: int) -> str:
    return (
        f"On this paper the longest line holds {has} characters, fewer than the {least} to 55 that "
        "read best: type of this size needs wider paper."
    )


def large_type(size: float, paper: str) -> str:
    return (
        f"Type of {points(size)} is too large for {paper}: give a shorter reading distance, or "
        "choose type that can just be read."
    )


# ---- the plan of a case ----
def tray_size(width: float, depth: float) -> str:
    return f"{area(width, depth)} mm inside"


def tray_of(tray: int, trays: int, first: int, last: int) -> str:
    stops = f"stop {first}" if first == last else f"stops {first} to {last}"
    return f"Plan of the case, tray {tray} of {trays}: {stops}"


def no_tray(trays: int) -> str:
    return "one tray more than there is" if trays == 1 else f"more than the {trays} trays there are"


def without_stops(numbers: Sequence[int]) -> str:
    """Which stops lie in no tray, some of them by number."""
    named = some_of([str(number) for number in numbers], 8)
    if len(numbers) == 1:
        return f"without stop {named}, which fits no tray"
    return f"without stops {named}, which fit no tray"


def large_case(width: float, depth: float, paper: str) -> str:
    return (
        f"A tray of {area(width, depth)} mm cannot be drawn on {paper}: give its inner size in "
        "millimetres."
    )


def empty_case(width: float, depth: float) -> str:
    return (
        f"No stop of this talk fits a tray of {area(width, depth)} mm: give a larger tray, or "
        "smaller cards (a shorter reading distance, or numbers alone)."
    )


def too_few_trays(needed: int, there: int, first: int) -> str:
    have = "there is one" if there == 1 else f"there are {there}"
    return f"{needed} trays are needed and {have}: what lies from stop {first} on has no place."


def fits_no_tray(number: int, heading: str, width: float, depth: float) -> str:
    return f"Stop {number}, {heading}, needs {area(width, depth)} mm and fits no tray."


# ---- times ----
def no_mark(line: int, text: str) -> str:
    return (
        f"Line {line}, “{text}”, does not begin with a time: write it as 1:12, 1:12.5 or 1:02:03."
    )


def early_mark(line: int, at: str, before: str) -> str:
    return f"Line {line}: {at} is not later than {before} on the line before. Put it right."


def wrong_marks(marks: int, stops: int) -> str:
    one = "is one time" if marks == 1 else f"are {marks} times"
    return (
        f"There {one} for {stops_in(stops)}: write one on a line for each stop, and after them, "
        "if you like, the time at which the last ends."
    )
