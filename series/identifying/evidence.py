"""What a person can say of a coin in the hand: read from texts, checked, kept.

What is computed: an ``Evidence`` from the texts of a form, a command line or a stored record, and
those texts again. Nothing is required. Lengths in mm, mass in g, density in g/cm³; a measure is
kept with the half-width within which it was read. Where no half-width is given it is half a
unit of the last figure written, but never finer than ``FINEST`` (common practice, no source).

>>> evidence = read_evidence({"diameter": "24,2 mm", "legend": "LIB?RTY", "year": "19?8"})
>>> evidence.diameter
Measured(value=24.2, within=0.1)
>>> evidence.texts
{'diameter': '24,2 mm', 'legend': 'LIB?RTY', 'year': '19?8'}
>>> read_evidence({"mass": "heavy", "hole": "star"})
Traceback (most recent call last):
series.identifying.evidence.EvidenceError: mass: 'heavy' is no number: write the mass in grams, \
such as 5.67.; hole: 'star' is none of: none, round, square.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

from series.identifying.readings import words_of
from series.legends.letters import split_pieces
from series.measuring.edges import EDGES
from series.measuring.signs import COLOURS, MAGNET, SOUNDS
from series.picture.outlines import OUTLINES
from series.text.scripts import SEEN, script_code, script_name
from series.years.calendars import CALENDARS, resolve
from series.years.readings import YearError, read_year

MEASURES: Mapping[str, tuple[str, str, float, float, str]] = {
    # field: (name, unit, least, most, an example)
    "diameter": ("diameter", "mm", 3, 120, "24.25"),
    "mass": ("mass", "g", 0.02, 1100, "5.67"),
    "thickness": ("thickness", "mm", 0.1, 20, "1.75"),
    "density": ("density", "g/cm³", 1, 23, "8.92"),
}
UNIT_WORDS = {"mm": "millimetres", "g": "grams", "g/cm³": "grams per cm³"}
FINEST: Mapping[str, float] = {"diameter": 0.1, "mass": 0.01, "thickness": 0.05, "density": 0.02}
RINGS = ("one metal", "ring and centre")
HOLES = ("none", "round", "square")
PANELS = ("none", "round", "scalloped", "square", "polygon")
CHOICES: Mapping[str, tuple[str, ...]] = {
    "colour": tuple(COLOURS),
    "magnet": tuple(MAGNET),
    "sound": tuple(SOUNDS),
    "outline": OUTLINES,
    "rings": RINGS,
    "hole": HOLES,
    "panel": PANELS,
    "edge": tuple(EDGES),
}
TEXTS = ("legend", "denomination", "year", "calendar", "script", "motif", "country")
FIELDS: tuple[str, ...] = (
    *(name for measure in MEASURES for name in (measure, f"{measure}_within")),
    *CHOICES,
    "sides",
    *TEXTS,
)
"""Every name that ``read_evidence`` takes: form fields, options of the command, stored keys."""

MOST_LETTERS = 300
MOST_PIECES = 40
FINEST_OF_ALL = 0.001
"""No reading is finer than this share of what its tool shows; no source."""


class EvidenceError(ValueError):
    """What was put in cannot be read; ``errors`` says for each field what to write instead."""

    def __init__(self, errors: Mapping[str, str]) -> None:
        super().__init__("; ".join(f"{name}: {words}" for name, words in errors.items()))
        self.errors = dict(errors)


@dataclass(frozen=True)
class Measured:
    """A reading and the half-width within which it was read, in the unit of the measure."""

    value: float
    within: float


@dataclass(frozen=True)
class Evidence:
    """What is known of one piece; "" or None or () where nothing was said.

    ``texts`` are the texts it was read from, tidied: they are what is stored.
    """

    diameter: Measured | None = None
    mass: Measured | None = None
    thickness: Measured | None = None
    density: Measured | None = None
    colour: str = ""
    magnet: str = ""
    sound: str = ""
    outline: str = ""
    sides: int | None = None
    rings: str = ""
    hole: str = ""
    panel: str = ""
    edge: str = ""
    legend: str = ""
    denomination: str = ""
    year: str = ""
    calendar: str = ""
    script: str = ""
    motifs: tuple[str, ...] = ()
    countries: tuple[str, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict, compare=False)

    @property
    def given(self) -> tuple[str, ...]:
        """The kinds of evidence given, in the order of ``KINDS``."""
        said = {
            "motif": self.motifs,
            "country": self.countries,
            "outline": self.outline or self.sides,
        }
        return tuple(kind for kind in KINDS if said.get(kind, getattr(self, kind, None)))


KINDS: tuple[str, ...] = (
    "diameter", "mass", "thickness", "density", "colour", "magnet", "sound", "outline", "rings",
    "hole", "panel", "edge", "legend", "denomination", "year", "script", "motif", "country",
)  # fmt: skip
"""Kinds of evidence that the ranking weighs; the number of sides goes with the outline."""

_NUMBER = re.compile(r"(\d+)(?:[.,](\d+))?")


def read_evidence(given: Mapping[str, str]) -> Evidence:
    """Read the fields of ``FIELDS`` that are not empty; raise EvidenceError for all that are wrong.

    Other names in ``given`` are left aside. Several motifs or countries are parted by commas; one
    said twice counts once, one without a letter or figure not at all.
    """
    texts = {name: _tidy(str(given.get(name) or "")) for name in FIELDS}
    texts = {name: text for name, text in texts.items() if text}
    errors: dict[str, str] = {}
    for name, text in texts.items():
        if len(text) > MOST_LETTERS:
            errors[name] = f"This is longer than {MOST_LETTERS} letters: write less."
    texts = {name: text for name, text in texts.items() if name not in errors}
    found: dict[str, object] = {"texts": texts}
    for measure in MEASURES:
        _read_measure(measure, texts, found, errors)
    for name, choices in CHOICES.items():
        text = texts.get(name, "").lower()
        if text and text not in choices:
            errors[name] = f"'{texts[name]}' is none of: {', '.join(choices)}."
        found[name] = text
    if sides := texts.get("sides"):
        if sides.isdecimal() and len(sides) < 3 and 3 <= int(sides) <= 60:
            found["sides"] = int(sides)
        else:
            errors["sides"] = f"'{sides}' is no number of sides: write a whole number from 3 to 60."
    for name in ("legend", "denomination", "year", "calendar"):
        found[name] = texts.get(name, "")
    if len(split_pieces(texts.get("legend", ""))) > MOST_PIECES:
        errors["legend"] = (
            f"These are more than {MOST_PIECES} pieces: write letters that follow each other "
            "without a space."
        )
    found["script"] = script_code(texts.get("script", ""))
    if "script" in texts and not found["script"]:
        known = ", ".join(map(script_name, SEEN))
        errors["script"] = f"'{texts['script']}' is none of: {known}."
    found["motifs"] = _parted(texts.get("motif", ""))
    found["countries"] = _parted(texts.get("country", ""))
    _check_year(found, errors)
    if errors:
        raise EvidenceError(errors)
    return Evidence(**found)  # type: ignore[arg-type]


def _tidy(text: str) -> str:
    """The text with one space for all white space, control characters and lone surrogates."""
    spaced = (" " if unicodedata.category(each) in ("Cc", "Cs") else each for each in text)
    return " ".join("".join(spaced).split())


def _parted(text: str) -> tuple[str, ...]:
    """The parts between commas; of those that have the same words the first."""
    first: dict[tuple[str, ...], str] = {}
    for part in re.split(r"[,;،、，]", text):
        if words := words_of(part):
            first.setdefault(words, part.strip())
    return tuple(first.values())


def _read_measure(
    measure: str, texts: Mapping[str, str], found: dict[str, object], errors: dict[str, str]
) -> None:
    name, unit, least, most, example = MEASURES[measure]
    text, within_text = texts.get(measure, ""), texts.get(f"{measure}_within", "")
    if not text:
        return
    read = _read_number(text, unit)
    if read is None:
        errors[measure] = (
            f"'{text}' is no number: write the {name} in {UNIT_WORDS[unit]}, such as {example}."
        )
        return
    value, step = read
    if not least <= value <= most:
        errors[measure] = (
            f"A {name} of {text} is not a coin's: write {UNIT_WORDS[unit]}, from {least} to {most}."
        )
        return
    within = max(step / 2, FINEST[measure])
    if within_text:
        half = _read_number(within_text.lstrip("±+- "), unit)
        if half is None or not FINEST_OF_ALL * FINEST[measure] <= half[0] <= value / 2:
            errors[f"{measure}_within"] = (
                f"'{within_text}' does not say how finely it was read: write half the width of "
                f"the reading in {UNIT_WORDS[unit]}, such as {FINEST[measure]:g}."
            )
            return
        within = half[0]
    found[measure] = Measured(value, within)


def _read_number(text: str, unit: str) -> tuple[float, float] | None:
    """The number and the unit of its last figure; None if it is none."""
    plain = text.casefold().removesuffix(unit.casefold()).removesuffix("g/cm3").strip()
    match = _NUMBER.fullmatch(plain)
    if match is None:
        return None
    decimals = match[2] or ""
    number = float(f"{match[1]}.{decimals or 0}")
    return (number, 10.0 ** -len(decimals)) if math.isfinite(number) else None


def _check_year(found: Mapping[str, object], errors: dict[str, str]) -> None:
    """A date is read when it is weighed; here only whether it can be read at all."""
    year, calendar = str(found["year"]), str(found["calendar"])
    if calendar and not resolve(calendar):
        errors["calendar"] = f"'{calendar}' is no calendar known here: {', '.join(CALENDARS)}."
        calendar = ""
    if year and "year" not in errors:
        try:
            read_year(year, calendar)
        except YearError as error:
            errors["year"] = str(error)
