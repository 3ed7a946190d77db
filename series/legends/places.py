"""Where a piece of a legend fits best, letter by letter, and that in words.

What is computed: the place at which a piece is likeliest read (model: ``series.legends.wear``),
and the letters there that agree, differ, are left out or put in, aligned by the fewest edits
(Levenshtein distance, package RapidFuzz). Letters are shown as capitals; positions count from 1.

A piece *fits* when at most one in ``ONE_WRONG_IN`` of its read letters is wrong, left out or put
in; common practice, no source. An unread ``?`` too many or too few is no fault: unread letters
are hard to count.

>>> from series.legends.spellings import StruckText, spellings_for_latin
>>> spellings = spellings_for_latin(StruckText("HALVERN · SALTMOUTH", "Latn"))
>>> def told(piece):
...     return fit_words(best_place(piece, spellings, backwards=0.02))
>>> told("SALT??OUTH"), told("UTHHAL")
('“SALT??OUTH” fits “SALTMOUTH”', '“UTHHAL” fits “UTH HAL”')
>>> told("HALVARN")
'“HALVARN” fits “HALVERN” but for one letter: A where the legend has E'
>>> told("SLTMOUTH")
'“SLTMOUTH” fits “SALTMOUTH” with one letter left out: A'
>>> told("KOPEK")
'“KOPEK” is not in the legends, which have no K or P'
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from rapidfuzz.distance import Levenshtein

from series.legends.letters import UNREAD, letters, piece_letters
from series.legends.spellings import How, Spelling
from series.legends.wear import SHIFT, chance, read_from
from series.text.english import listed, number_word

ONE_WRONG_IN = 3
_COSTS = (3, 3, 2)
"""Of a letter left out, one put in, one taken for another: so that of two ends of the place that
take as many edits the one is chosen that takes one letter for another."""


@dataclass(frozen=True, slots=True)
class Differs:
    """A letter of a piece, counted from 1 in the piece as typed, and the one that is struck."""

    position: int
    read: str
    struck: str


@dataclass(frozen=True, slots=True)
class PieceFit:
    """How a piece fits the legends of a type at the best place."""

    piece: str
    legend: str
    """The legend as recorded, or the transliteration in which the piece fits; "" for none."""
    place: str
    """The part of the legend that was read."""
    how: How
    backwards: bool
    agree: int
    differ: tuple[Differs, ...]
    left_out: str
    put_in: str
    absent: str
    """Letters of the piece that stand in none of the legends."""

    @property
    def wrong(self) -> int:
        """Letters that differ, are left out or put in."""
        return len(self.differ) + len(self.left_out) + len(self.put_in)

    @property
    def fits(self) -> bool:
        """Whether a person would say that the piece stands there."""
        return self.wrong * ONE_WRONG_IN <= self.agree + len(self.differ) + len(self.put_in)


def best_place(piece: str, spellings: Sequence[Spelling], backwards: float) -> PieceFit:
    """The best place of a piece in the spellings of a type's legends.

    ``backwards`` is the chance that the piece was typed backwards. ValueError for a piece
    without a letter.
    """
    read = piece_letters(piece)
    if not read:
        raise ValueError(f"“{piece}” has no letter that was read.")
    absent = "".join(
        char for char in dict.fromkeys(read) if not any(char in each.letters for each in spellings)
    ).replace(UNREAD, "")
    if not spellings:
        return PieceFit(piece, "", "", "struck", False, 0, (), "", "", absent.upper())
    alphabet = sorted({char for each in spellings for char in each.letters})
    windows = np.concatenate([_windows(each.letters, alphabet, len(read)) for each in spellings])
    share = np.concatenate([np.full(len(each.letters), each.share) for each in spellings])
    best, at, reverse = -1.0, 0, False
    for way, weight in ((read, 1 - backwards), (read[::-1], backwards)):
        chances = np.array([[chance(char, struck) for struck in alphabet] for char in way])
        values = read_from(windows, way, chances) * share * weight
        if values.max() > best:
            best, at, reverse = float(values.max()), int(values.argmax()), way is not read
    for spelling in spellings:
        if at < len(spelling.letters):
            break
        at -= len(spelling.letters)
    return _aligned(piece, read, spelling, at, reverse, absent.upper())


def _windows(text: str, alphabet: list[str], length: int) -> npt.NDArray[np.intp]:
    """A row for each start in the text, the numbers of the letters that follow."""
    codes = np.array([alphabet.index(char) for char in text])
    steps = np.arange(length + SHIFT)
    return codes[(np.arange(len(text))[:, None] + steps) % len(text)]


def _aligned(
    piece: str, read: str, spelling: Spelling, at: int, backwards: bool, absent: str
) -> PieceFit:
    """The letters of a piece beside those of a spelling from a place on."""
    way = read[::-1] if backwards else read
    around = spelling.letters * (2 + (len(way) + SHIFT) // len(spelling.letters))
    sizes = [len(way), *range(max(1, len(way) - SHIFT), len(way) + SHIFT + 1)]
    struck = min(
        (around[at : at + size] for size in sizes),
        key=lambda text: Levenshtein.distance(way, text, weights=_COSTS),
    )
    agree, differ, left_out, put_in = 0, [], "", ""
    for step in Levenshtein.opcodes(way, struck):
        seen = way[step.src_start : step.src_end]
        cut = struck[step.dest_start : step.dest_end]
        if step.tag == "equal":
            agree += len(seen)
        elif step.tag == "insert":
            beside = way[max(step.src_start - 1, 0) : step.src_start + 1]
            left_out += "" if UNREAD in beside else cut
        elif step.tag == "delete":
            put_in += seen.replace(UNREAD, "")
        else:
            for number, (one, other) in enumerate(zip(seen, cut, strict=True), step.src_start):
                if one != UNREAD:
                    position = len(way) - number if backwards else number + 1
                    differ.append(Differs(position, one.upper(), other.upper()))
    return PieceFit(
        piece=piece,
        legend=spelling.recorded,
        place=_shown(spelling, at, len(struck)),
        how=spelling.how,
        backwards=backwards,
        agree=agree,
        differ=tuple(differ),
        left_out=left_out.upper(),
        put_in=put_in.upper(),
        absent=absent,
    )


def _shown(spelling: Spelling, at: int, size: int) -> str:
    """The part of the text as recorded, from one of its letters on, round the circle."""
    origins = [place for place, char in enumerate(spelling.recorded) for _ in letters(char)]
    if len(origins) != len(spelling.letters):  # some fold only together
        around = spelling.letters * (2 + size // len(spelling.letters))
        return around[at : at + size].upper()
    if size >= len(origins):
        return spelling.recorded
    end = at + size - 1
    if end < len(origins):
        return spelling.recorded[origins[at] : origins[end] + 1]
    rest = spelling.recorded[: origins[end - len(origins)] + 1]
    return f"{spelling.recorded[origins[at] :]} {rest}"


def fit_words(fit: PieceFit) -> str:
    """How a piece fits, in a clause of plain English."""
    if not fit.legend:
        return f"no legend is recorded that “{fit.piece}” could be compared with"
    if not fit.fits:
        missing = listed(fit.absent, last="or")
        return f"“{fit.piece}” is not in the legends" + (
            f", which have no {missing}" if missing else ""
        )
    words = f"“{fit.piece}” fits “{fit.place}”"
    if fit.how == "transliteration":
        words += " in transliteration"
    elif fit.how == "looks":
        words += " by the look of its letters"
    if fit.backwards and len(fit.piece) > 1:
        words += ", read backwards,"
    faults = []
    if fit.differ:
        pairs = listed(f"{each.read} where the legend has {each.struck}" for each in fit.differ)
        faults.append(f"but for {_letters(len(fit.differ))}: {pairs}")
    for chars, what in ((fit.left_out, "left out"), (fit.put_in, "too many")):
        if chars:
            faults.append(f"with {_letters(len(chars))} {what}: {listed(chars)}")
    return " ".join([words, ", and ".join(faults)]).rstrip(", ")


def _letters(count: int) -> str:
    return f"{number_word(count)} letter{'' if count == 1 else 's'}"
