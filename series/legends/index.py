"""Match pieces of a legend against the legends of all types.

What is computed: for each type the natural logarithm of the chance of reading these pieces off
it, under the model of ``series.legends.wear``; and the same for a coin that is in no record. One
float64 for each type, nan where the record has no legend: that speaks neither for nor against.

A piece in Latin letters is matched against Latin legends and against transliterations (the
record's, or else one by ``anyascii``; Cyrillic and Greek also by looks); a piece in another
script, or of figures alone, against the text as struck. A piece without any letter that is read
is passed over. No piece at all tells nothing: 0 for every type with a legend.

How exact: in a small collection, and for a place where no letter is left out or put in, the
logarithm is too small by at most ``TOLERANCE``. In a large one only so many places are looked at
(``series.legends.scan``): where more than one letter is mistaken, or one is left out or put in,
some may be missed, and the type is then taken as one that lacks the legend. Among 50,000 invented
types that is so for about one piece in twenty-five (``tests/bench/bench_legends.py``).

>>> from series.legends.letters import split_pieces
>>> halvern = [StruckText("HALVERN SALTMOUTH", "Latn"), StruckText("5 TINNE", "Latn")]
>>> ouran = [StruckText("جزر عوران", "Arab", "juzur ʿūrān")]
>>> index = LegendIndex.of([halvern, ouran, []])
>>> index.weigh(["SALT??OUTH"]).types.round(1).tolist()
[-5.5, -9.9, nan]
>>> index.weigh(split_pieces("uran juz")).types.round(1).tolist()
[-13.5, -4.9, nan]
>>> index.weigh(["عورا"]).types.round(1).tolist()
[-6.8, -2.4, nan]
>>> round(index.weigh(["SALT??OUTH"]).elsewhere, 1)
-6.9
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from series.arrays import Arrays, Floats, arrays_of, under
from series.coded import Coding, Listed
from series.legends.letters import (
    UNREAD,
    is_latin,
    letters,
    piece_letters,
    runs_leftward,
)
from series.legends.places import PieceFit, best_place
from series.legends.scan import Scanner
from series.legends.spellings import (
    Spelling,
    StruckText,
    spellings_as_struck,
    spellings_for_latin,
)
from series.legends.texts import Texts, summed
from series.legends.wear import BACKWARDS, BACKWARDS_LEFTWARD, SHARED, UNRECORDED
from series.text.scripts import script_of

TOLERANCE = 0.1
"""By how much a logarithm may be too small, no letter left out or put in."""
SMALLEST = 1e-290
"""No piece, however long, is taken to be less likely than this: its logarithm stays finite."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """What pieces tell: log-likelihood of each type, and of a coin that is in no record."""

    types: Floats
    elsewhere: float


@dataclass(frozen=True, slots=True)
class _View:
    """Which texts each type has for pieces of one kind. Pairs of type and text are sorted by
    type; ``share`` is the chance that a piece of the type begins in the text."""

    types: npt.NDArray[np.int32]
    texts: npt.NDArray[np.int32]
    share: Floats
    with_text: npt.NDArray[np.bool_]
    letter_counts: Floats
    """How often each letter of the alphabet stands in the texts of this view."""

    def means(self, of_texts: Floats) -> Floats:
        """The chance for each type, from the mean chance of each text."""
        weights = of_texts[self.texts] * self.share
        return summed(self.types, weights, len(self.with_text))


class _Spellings:
    """The spellings of legends as they come: the number of each one's text, and its share."""

    def __init__(self, numbers: dict[str, int]) -> None:
        self._numbers = numbers
        self.texts, self.shares, self.counts = array("i"), array("d"), array("i")

    def add(self, spellings: Sequence[Spelling]) -> None:
        for spelling in spellings:
            self.texts.append(self._numbers.setdefault(spelling.letters, len(self._numbers)))
            self.shares.append(spelling.share)
        self.counts.append(len(spellings))


@dataclass(frozen=True, slots=True)
class LegendIndex:
    """The legends of all types, numbered from 0 as they were given."""

    scanner: Scanner
    latin: _View
    struck: _View
    recorded: Listed
    """The legends of each type (``StruckText``), in the order in which they were given."""
    letter_scripts: tuple[str, ...]

    @classmethod
    def of(cls, legends_of_types: Iterable[Sequence[StruckText]]) -> LegendIndex:
        """An index of the legends of each type; the same legend is stored once."""
        return cls.of_listed(Coding.of_lists(legends_of_types))

    @classmethod
    def of_listed(cls, legends: Listed) -> LegendIndex:
        """The same from the legends told apart."""
        text_numbers: dict[str, int] = {}
        struck, latin = _Spellings(text_numbers), _Spellings(text_numbers)
        for legend in legends.things:
            struck.add(spellings_as_struck(legend))
            latin.add(spellings_for_latin(legend))
        texts = Texts.of(tuple(text_numbers))
        del text_numbers
        sizes = np.array([len(letters(each.text)) for each in legends.things], np.float64)
        return cls(
            scanner=Scanner.of(texts),
            latin=_view(latin, sizes, legends, texts),
            struck=_view(struck, sizes, legends, texts),
            recorded=legends,
            letter_scripts=tuple(script_of(char) for char in texts.alphabet),
        )

    def packed(self) -> tuple[Arrays, dict[str, Any]]:
        """As arrays, and what JSON can say.

        >>> index = LegendIndex.of([[StruckText("SALT", "Latn")]])
        >>> LegendIndex.unpacked(*index.packed()).weigh(["SALT"]) == index.weigh(["SALT"])
        True
        """
        texts = self.scanner.texts
        arrays = arrays_of("texts.", texts) | arrays_of("recorded.", self.recorded)
        arrays |= arrays_of("latin.", self.latin) | arrays_of("struck.", self.struck)
        recorded = [(each.text, each.script, each.transliteration) for each in self.recorded.things]
        return arrays, {"alphabet": texts.alphabet, "recorded": recorded}

    @classmethod
    def unpacked(cls, arrays: Arrays, plain: Mapping[str, Any]) -> LegendIndex:
        """The index that was packed."""
        alphabet = tuple(plain["alphabet"])
        recorded = [StruckText(*each) for each in plain["recorded"]]
        return cls(
            scanner=Scanner.of(Texts(alphabet=alphabet, **under("texts.", arrays))),
            latin=_View(**under("latin.", arrays)),
            struck=_View(**under("struck.", arrays)),
            recorded=Listed(recorded, **under("recorded.", arrays)),
            letter_scripts=tuple(map(script_of, alphabet)),
        )

    def weigh(self, pieces: Sequence[str]) -> Weighed:
        """What the pieces tell of each type and of a coin that is in no record."""
        types = np.where(self.latin.with_text | self.struck.with_text, 0.0, np.nan)
        elsewhere = 0.0
        for piece in filter(None, map(piece_letters, pieces)):
            chances, without = self._weigh(piece)
            types += np.log(chances)
            elsewhere += math.log(without)
        return Weighed(types, elsewhere)

    def explain(self, type_number: int, pieces: Sequence[str]) -> tuple[PieceFit, ...]:
        """Where each piece fits best in the legends of a type; pieces without a letter that was
        read are passed over. ``fit_words`` says it in words."""
        legends = self.recorded.of(type_number)
        fits = []
        for piece in pieces:
            if read := piece_letters(piece):
                spellings_of = spellings_for_latin if _for_latin(read) else spellings_as_struck
                spellings = [spelling for legend in legends for spelling in spellings_of(legend)]
                fits.append(best_place(piece, spellings, _backwards(read)))
        return tuple(fits)

    def _weigh(self, piece: str) -> tuple[Floats, float]:
        """The chance of one piece for each type (nan without a text) and in no record."""
        view = self.latin if _for_latin(piece) else self.struck
        drawn = self._drawn(piece, view)
        backwards = _backwards(piece)
        least = UNRECORDED * (1 - SHARED) * drawn * TOLERANCE
        read = view.means(self.scanner.scan(piece, backwards, least))
        read[~view.with_text] = np.nan
        mean = float(read[view.with_text].mean()) if view.with_text.any() else 0.0
        elsewhere = SHARED * mean + (1 - SHARED) * drawn
        return (1 - UNRECORDED) * read + UNRECORDED * elsewhere, elsewhere

    def _drawn(self, piece: str, view: _View) -> float:
        """The chance of the piece as letters drawn by their frequency in its script."""
        scripts = [script_of(char) for char in piece if char.isalpha()]
        script = max(scripts, key=scripts.count) if scripts else ""
        own = np.array([each in (script, "") for each in self.letter_scripts])
        counts = np.where(own, view.letter_counts, 0.0)
        total, kinds = counts.sum(), np.count_nonzero(counts) + 1
        share = (total + 1) / (view.letter_counts.sum() + 1) if scripts else 1.0
        number_of = self.scanner.number_of
        likely = [
            (counts[number_of[char]] if char in number_of else 0.0) + 1
            for char in piece
            if char != UNREAD
        ]
        return max(share * math.prod(count / (total + kinds) for count in likely), SMALLEST)


def _for_latin(piece: str) -> bool:
    """Whether a piece is matched against Latin legends and transliterations."""
    return any(char.isalpha() for char in piece) and is_latin(piece)


def _backwards(piece: str) -> float:
    """The chance that a piece was typed backwards."""
    return BACKWARDS_LEFTWARD if runs_leftward(piece) else BACKWARDS


def _view(spellings: _Spellings, lengths: Floats, recorded: Listed, texts: Texts) -> _View:
    """The texts of each type, from the spellings and the length of each legend."""
    owners = np.repeat(np.arange(len(recorded.start) - 1, dtype=np.int32), recorded.counts)
    legends = recorded.rows
    counts = np.array(spellings.counts, np.int64)
    firsts = np.cumsum(counts) - counts
    text_numbers = np.array(spellings.texts, np.int32)
    shares = np.array(spellings.shares, np.float64)
    sizes = np.where(counts > 0, lengths, 0.0)
    totals = summed(owners, sizes[legends], len(recorded.start) - 1)
    times = counts[legends]
    which = np.repeat(firsts[legends] - (np.cumsum(times) - times), times) + np.arange(times.sum())
    types = np.repeat(owners, times)
    begun = np.repeat(sizes[legends], times) / totals[types]
    used = np.zeros(len(texts))
    used[text_numbers] = 1.0
    counted = used[texts.text_at] * texts.begins
    letter_counts = summed(texts.codes, counted, len(texts.alphabet))
    return _View(
        types=types,
        texts=text_numbers[which],
        share=begun * shares[which],
        with_text=totals > 0,
        letter_counts=letter_counts,
    )
