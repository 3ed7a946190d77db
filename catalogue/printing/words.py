"""What a sheet says by itself, and why a sheet cannot be laid out, in English.

Computed: sentences from plain values; lengths in mm. Another language is another such module.

>>> page_of(2, 5), between("5 tinne", "1 marl"), drawn_at(1), drawn_at(0.5)
('page 2 of 5', '5 tinne to 1 marl', 'drawn to true size', 'drawn at 1:2')
>>> too_long(ACROSS, 3, 70, 0, 210, "A4", 200)
'3 columns of 70 mm need 210 mm; A4 is 200 mm wide.'
"""

from __future__ import annotations

from typing import NamedTuple

from series.text.words import number

LANGUAGE = "en-GB"
RULE = "50 mm: if your ruler reads otherwise, print again at 100 %"
CONTINUED = "continued"
NOT_STRUCK = "not struck"
NOT_RECORDED = "not recorded"
ANY_DATE = "any date"
UNIDENTIFIED = "unidentified"
NOT_IDENTIFIED = "Not identified"
ALBUM, LABELS, TRIAL_SHEET = "Album pages", "Labels", "Trial sheet"
HELD_AND_FAINT = "Faint: a type you do not hold. A filled box: a date you hold."
TRIAL = (
    "Trial sheet: hold it with a sheet of labels against the light; every outline should lie on "
    "the edge of a label."
)
NOTHING_CHOSEN = "None of your pieces is chosen, so there is nothing to print."
NOTHING_DRAWN = (
    "Nothing is chosen that could be drawn, so there is nothing to print. With gaps, the dates you "
    "lack are drawn too."
)
NO_LABEL = "There must be at least one row and one column."
NO_SIZE = "A label must be wider and higher than 0 mm."
BELOW_NOUGHT = "A margin or a gap cannot be below 0 mm."
NO_PANGO = (
    "Sheets cannot be printed yet, because the library Pango is missing on the machine that runs "
    "this site. On Debian or Ubuntu install it with: apt-get install libpango-1.0-0 "
    "libpangoft2-1.0-0 libharfbuzz-subset0. On another system install Pango 1.44 or later with its "
    "package manager. Then start the site again."
)
NO_ROUND_CODE = (
    "A round ticket has no room for a QR code: choose a rectangular one, or leave the code out."
)


def measure(mm: float) -> str:
    """A length as people write it: no trailing noughts, at most two decimals.

    >>> measure(63.5), measure(35.0)
    ('63.5', '35')
    """
    return number(mm, 2)


def ratio(scale: float) -> str:
    """A scale as people write it.

    >>> ratio(0.5)
    '1:2'
    """
    return f"1:{measure(1 / scale)}"


def area(width: float, height: float) -> str:
    """The size of a label or a holder: "70 × 37"."""
    return f"{measure(width)} × {measure(height)}"


def page_of(number: int, total: int) -> str:
    return f"page {number} of {total}"


def between(*ends: str) -> str:
    """The first and the last of several things, or the only one."""
    return " to ".join(ends)


def drawn_at(scale: float) -> str:
    return "drawn to true size" if scale == 1 else f"drawn at {ratio(scale)}"


# ---- albums and ladders ----
def album_of(title: str) -> str:
    return f"{ALBUM}: {title}" if title else ALBUM


def ladder_of(country: str) -> str:
    return f"Ladder of {country}"


def bought(amount: str) -> str:
    return f"{amount} bought" if amount else "What money bought"


def in_money_of(unit: str, year: str) -> str:
    return f"1 {unit} in money of {year}"


def at_least(grade: str) -> str:
    return f"from {grade}" if grade else ""


def better(grade: str) -> str:
    return f"better: {grade}"


def pieces(number: int) -> str:
    return f"{number} pieces" if number > 1 else ""


def no_pocket(coin: str) -> str:
    return (
        f"“{coin}” has no diameter on record, so its pocket cannot be drawn: enter one for its "
        "type, or leave it out."
    )


def wide_pocket(coin: str, pocket: float, paper: str, room: float) -> str:
    return (
        f"“{coin}” needs a pocket {measure(pocket)} mm wide; a row on {paper} has room for "
        f"{measure(room)} mm. Leave it out, or choose wider paper."
    )


def high_label(coin: str, paper: str) -> str:
    return (
        f"“{coin}” with its label does not fit the height of a page of {paper}: shorten its label "
        "or its heading, or leave it out."
    )


def left_out(coins: str) -> str:
    return f"Left out, since no diameter is on record: {coins}."


def no_ladder(country: str) -> str:
    return f"“{country}” has no series with types yet, so there is no ladder."


def no_diameter(denomination: str) -> str:
    return (
        f"A type of “{denomination}” has no diameter on record, so it cannot be drawn to scale: "
        "enter one."
    )


def wide_series(series: str, paper: str, scale: float) -> str:
    return (
        f"The series “{series}” does not fit {paper} at a scale of {ratio(scale)}: choose a "
        "smaller scale or wider paper."
    )


def high_row(denomination: str, height: float, paper: str) -> str:
    return (
        f"The row “{denomination}” is {measure(height)} mm high and does not fit a page of "
        f"{paper}: choose a smaller scale."
    )


# ---- labels and tickets ----
def labels_for(pieces: int) -> str:
    return f"{LABELS} for {pieces} pieces"


def small_label(label: str, width: float, height: float, points: float) -> str:
    return (
        f"The text of label {label} does not fit {area(width, height)} mm even at "
        f"{measure(points)} pt and with nothing but its first words: choose larger labels."
    )


def small_code(least: float, width: float, height: float, room: float) -> str:
    return (
        f"A QR code needs {measure(least)} mm and may take a quarter of the width; a label of "
        f"{area(width, height)} mm leaves {measure(max(0.0, room))} mm: choose "
        "larger labels, or leave the code out."
    )


def no_ticket(width: float, height: float, paper: str) -> str:
    return (
        f"A ticket for a holder of {area(width, height)} mm cannot be cut from "
        f"{paper}: give the holder’s inner size in millimetres."
    )


def unknown_paper(paper: str, known: str) -> str:
    return f"{paper} is not a paper we know: choose {known}."


def not_round(width: float, height: float) -> str:
    return f"A round label is as wide as it is high, not {area(width, height)}."


def no_such_label(last: int) -> str:
    return f"The first free label is between 1 and {last} on this sheet."


class Along(NamedTuple):
    """What rows of labels are called in one direction of the paper."""

    several: str
    far: str
    edge: str


ACROSS = Along("columns", "wide", "left")
DOWN = Along("rows", "high", "top")


def too_long(
    along: Along, number: int, size: float, gap: float, needed: float, paper: str, room: float
) -> str:
    """Why so many labels do not fit beside each other."""
    fits = f"{paper} is {measure(room)} mm {along.far}."
    if number == 1:
        return f"A label {measure(size)} mm {along.far} does not fit; {fits}"
    gaps = "a gap" if number == 2 else f"{number - 1} gaps"
    said = f" and {gaps} of {measure(gap)} mm" if gap else ""
    return f"{number} {along.several} of {measure(size)} mm{said} need {measure(needed)} mm; {fits}"


def wide_margin(
    along: Along, margin: float, labels: float, needed: float, paper: str, room: float
) -> str:
    """Why labels that fit do not fit with the margin before them."""
    return (
        f"A {along.edge} margin of {measure(margin)} mm and {measure(labels)} mm of labels need "
        f"{measure(needed)} mm; {paper} is {measure(room)} mm {along.far}."
    )
