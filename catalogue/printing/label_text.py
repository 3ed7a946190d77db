"""How the text of labels is set: one size for a whole sheet, and what is left out where it must be.

A label is lines of facts. Facts of one line stand beside each other while they fit, parted by a
middle dot, which is left out where the line breaks; a fact begins a line of its own rather than
be broken, and a figure is never parted from its unit.

**The size** is the largest from 11 pt down to 6 pt at which every label of the sheet fits. The
floor of 6 pt has an x-height of 1.03 mm in the font of the labels: above the 0.9 mm that Regulation
(EU) No 1169/2011, Article 13(3), asks of print on small packages (below 80 cm², as labels are).

**Where a label does not fit at 6 pt** it is shortened by meaning, and nothing is ever cut off
within a word or printed smaller. First a fact that would fill more than two lines keeps the words
that fit two, with "…". Then facts are left out, in the order of ``DROPPED``, as few as will do.
The first fact of a label stays: at the last it keeps as many of its words as there is room for.

Widths in em of the lettering (so that they hold at every size), rooms in mm.

>>> coin = Fact("25 tinne"), Fact("1953", joint=", ")
>>> label = Label("2024.117", (coin, (Fact("Halvern"), Fact("First Marl"))))
>>> fitted = fit([label], lambda size: [(65.0, 8)])
>>> fitted.size, fitted.settings[0].lines
(11.0, ('25 tinne, 1953', 'Halvern · First Marl'))
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from catalogue.printing.geometry import Span
from catalogue.printing.lettering import (
    MM_PER_POINT,
    Lettering,
    break_word,
    text_width,
    words_with_joints,
)

SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0)
FLOOR = SIZES[-1]
LEADING = 1.25
LONGEST = 2  # lines of one fact, where labels must be shortened
DROPPED = (
    "reference", "size", "metal", "series", "place", "country", "pieces", "grade", "date",
    "accession",
)  # fmt: skip
"""Names of facts, those that are left out first, first."""

DOT = " · "
EM = 1 / MM_PER_POINT  # pt: at this size widths in mm are widths in em
_TITLE = Lettering("title", "serif", EM, LEADING, weight=600)
_BODY = Lettering("body", "sans", EM, LEADING)
_STRONG = Lettering("strong", "sans", EM, LEADING, weight=600)

Room = Sequence[tuple[float, int]]
"""Ways to set the text at one size: each a width in mm and how many lines there may be."""


@dataclass(frozen=True)
class Fact:
    """One thing a label says; ``joint`` is what parts it from the fact before it."""

    text: str
    name: str = ""
    strong: bool = False
    joint: str = DOT


@dataclass(frozen=True)
class Label:
    """What is written on one label. ``code``: the address in its QR code, or ""."""

    key: str
    lines: tuple[tuple[Fact, ...], ...]
    code: str = ""

    @property
    def facts(self) -> list[Fact]:
        return [fact for line in self.lines for fact in line]


@dataclass(frozen=True)
class Setting:
    """The text of a label in lines, the first ``titles`` of them its title, with strong parts."""

    lines: tuple[str, ...]
    titles: int
    strong: tuple[Span, ...] = ()


@dataclass(frozen=True)
class Shortened:
    """What a label had to leave out: names of facts, and the facts cut back to fewer words."""

    key: str
    dropped: tuple[str, ...] = ()
    cut: tuple[str, ...] = ()


@dataclass(frozen=True)
class Fitted:
    """One size, and the text of every label at it; ``too_small`` are keys that fit in no way."""

    size: float
    settings: tuple[Setting, ...]
    shortened: tuple[Shortened, ...] = ()
    too_small: tuple[str, ...] = ()


def fit(labels: Sequence[Label], room: Callable[[float], Room]) -> Fitted:
    """The largest size at which every label fits, else the floor with labels shortened.

    ``room`` says for a size in points in which ways text may be set at it.
    """
    step = 0
    for label in labels:
        while step < len(SIZES) - 1 and _set(label, SIZES[step], room) is None:
            step += 1
    size = SIZES[step]
    settings = [_set(label, size, room) for label in labels]
    shortened: list[Shortened] = []
    too_small: list[str] = []
    for place, (label, setting) in enumerate(zip(labels, settings, strict=True)):
        if setting is None:
            settings[place], said = _shorten(label, room)
            shortened += [said] if said.dropped or said.cut else []
            too_small += [label.key] if settings[place] is None else []
    fits = tuple(setting or Setting((), 0) for setting in settings)
    return Fitted(size, fits, tuple(shortened), tuple(too_small))


def _set(
    label: Label, size: float, room: Callable[[float], Room], breaking: bool = False
) -> Setting | None:
    """The text of a label at a size, or None where it does not fit."""
    for width, most in room(size):
        setting = _flow(label, width / (size * MM_PER_POINT), breaking)
        if setting is not None and len(setting.lines) <= most:
            return setting
    return None


# ---- shortening, at the floor ----
def _shorten(label: Label, room: Callable[[float], Room]) -> tuple[Setting | None, Shortened]:
    width = max((width for width, _most in room(FLOOR)), default=0.0) / (FLOOR * MM_PER_POINT)
    cut: list[str] = []
    facts: list[Fact] = []
    for place, fact in enumerate(label.facts):
        short = _cut(fact, width, LONGEST, breaking=place == 0)
        facts.append(short if short.text or place else fact)
        cut += [fact.name] if short.text and short.text != fact.text else []
    kept = [bool(fact.text) for fact in facts]

    def setting() -> Setting | None:
        return _set(_with(label, facts, kept), FLOOR, room, breaking=True)

    order = sorted(range(1, len(facts)), key=lambda place: _rank(facts[place]))
    for place in order:
        if setting() is not None:
            break
        kept[place] = False
    for place in reversed(order):
        if not kept[place] and facts[place].text and setting() is not None:
            kept[place] = True
            kept[place] = setting() is not None
    done = setting()
    most = max((lines for _width, lines in room(FLOOR)), default=0) if facts else 0
    while done is None and most > 0:
        facts[0] = _cut(label.facts[0], width, most, breaking=True)
        done = setting() if facts[0].text else None
        cut = list(dict.fromkeys([facts[0].name, *cut]))
        most -= 1
    dropped = tuple(fact.name for fact, stays in zip(facts, kept, strict=True) if not stays)
    return done, Shortened(label.key, dropped, tuple(name for name in cut if name not in dropped))


def _rank(fact: Fact) -> int:
    return DROPPED.index(fact.name) if fact.name in DROPPED else len(DROPPED)


def _with(label: Label, facts: Sequence[Fact], kept: Sequence[bool]) -> Label:
    """The label with the facts given in place of its own, only those that are kept."""
    rest = iter(zip(facts, kept, strict=True))
    lines = [tuple(f for f, stays in [next(rest) for _ in line] if stays) for line in label.lines]
    return replace(label, lines=tuple(lines))


def _cut(fact: Fact, width: float, most: int, breaking: bool) -> Fact:
    """A fact with as many of its words as fill ``most`` lines; without text where none does."""
    lines: list[_Line] | None = _flow_facts([fact], _TITLE if breaking else _BODY, width, breaking)
    if lines is not None and len(lines) <= most:
        return fact
    kept = ""
    spoken = fact.text.split(" ")
    for count in range(1, len(spoken)):
        tried = " ".join(spoken[:count]).rstrip(" ,;:.·–-") + "…"
        lines = _flow_facts(
            [replace(fact, text=tried)], _TITLE if breaking else _BODY, width, breaking
        )
        if lines is None or len(lines) > most:
            break
        kept = tried
    return replace(fact, text=kept)


# ---- lines ----
@dataclass
class _Line:
    """A line being filled: its parts, each with whether it is strong, and its width in em."""

    parts: list[tuple[str, bool]]
    width: float = 0.0

    @property
    def text(self) -> str:
        return "".join(text for text, _strong in self.parts).replace("\u00a0", " ")

    def add(self, text: str, width: float, strong: bool) -> None:
        self.parts.append((text, strong))
        self.width += width


def _flow(label: Label, width: float, breaking: bool) -> Setting | None:
    """All lines of a label in a width; None where a word is wider, unless the first may break."""
    lines: list[_Line] = []
    titles = 0
    for place, facts in enumerate(label.lines):
        how = _BODY if place else _TITLE
        flowed = _flow_facts(facts, how, width, breaking and not place)
        if flowed is None:
            return None
        lines += flowed
        titles = len(lines) if not place else titles
    return Setting(
        tuple(line.text for line in lines),
        titles,
        tuple(span for number, line in enumerate(lines) for span in _strong(number, line)),
    )


def _strong(number: int, line: _Line) -> Iterator[Span]:
    at = 0
    for text, strong in line.parts:
        if strong and text:
            yield Span(number, at, at + len(text))
        at += len(text)


def _flow_facts(
    facts: Sequence[Fact], how: Lettering, width: float, breaking: bool
) -> list[_Line] | None:
    lines: list[_Line] = []
    for place, fact in enumerate(facts):
        comma = place + 1 < len(facts) and facts[place + 1].joint.startswith(",")
        font = _STRONG if fact.strong and how is _BODY else how
        pieces = _pieces(fact.text + "," * comma, font)
        beside = _width(fact.joint.lstrip(","), how) + sum(g + w for _t, g, w in pieces)
        if lines and lines[-1].width + beside <= width:
            lines[-1].add(fact.joint.lstrip(","), beside, False)
            lines[-1].add("".join(text for text, _g, _w in pieces), 0.0, fact.strong)
        elif not _flow_words(lines, pieces, font, width, fact, breaking and not place):
            return None
    return lines


def _flow_words(
    lines: list[_Line],
    pieces: Sequence[tuple[str, float, float]],
    font: Lettering,
    width: float,
    fact: Fact,
    breaking: bool,
) -> bool:
    """Begin a line with a fact and go on as it needs; False where a word is too wide."""
    goes_on = bool(lines) and fact.joint.startswith(",")
    for number, (text, space, wide) in enumerate(pieces):
        blank = _width(" ", font) if number == 0 and goes_on else space
        if (number or goes_on) and lines[-1].width + blank + wide <= width:
            lines[-1].add(" " * (number == 0) + text, blank + wide, fact.strong)
            continue
        word = text.lstrip(" ")
        if wide > width and not breaking:
            return False
        parts = break_word(word, font, width) if wide > width else [word]
        lines += [_Line([(part, fact.strong)], _width(part, font)) for part in parts]
    return True


@lru_cache(maxsize=1 << 14)
def _pieces(text: str, how: Lettering) -> tuple[tuple[str, float, float], ...]:
    """The pieces of a text: each with its space before it, the width of that, and its own."""
    space = _width(" ", how)
    return tuple(
        (joint + word, space * bool(joint), _width(word, how))
        for joint, word in words_with_joints(text)
    )


@lru_cache(maxsize=1 << 14)
def _width(text: str, how: Lettering) -> float:
    return text_width(text, how)
