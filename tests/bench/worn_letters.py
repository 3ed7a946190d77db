"""Reading a worn legend or date: the noise that the benches draw from, with exact probabilities.

Part of ``worn_pieces.py``, which says what for. A person reads one legend of a piece, or two; the
whole of it, begun at any of its words, or a stretch. Along the letters, readable and unreadable
runs follow each other as a chain with two states, unreadable letters (and the gaps between words
among them) are written ``?``, readable ones are sometimes taken for one that looks alike; now and
then one letter is passed over. Arabic is copied, or transliterated without accents, or left.
All shares are invented for the benches, and go with grade and observer.
"""

from __future__ import annotations

import random
import unicodedata
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from worn_looks import LIKE_DIGITS
from worn_measures import GRADES, Floats, Seen

from series.identifying.facts import RankedType
from series.legends.spellings import StruckText

LOST = ((0.0, 0.02, 0.1, 0.35), (0.05, 0.1, 0.25, 0.5))
"""Share of pieces of which no legend can be read, by observer and grade."""
WHOLE = (0.8, 0.6, 0.35, 0.1)
TURNED = 0.15
"""Share of whole legends of several words that are begun at another word than the first."""
FADES = (0.01, 0.03, 0.08, 0.15)
CLEARS = 0.5
MISREAD = ((0.003, 0.01, 0.03, 0.06), (0.006, 0.02, 0.06, 0.12))
PASSED_OVER = (0.01, 0.01, 0.02, 0.04)
TWO_LEGENDS = 0.3
BETWEEN_LEGENDS = " / "
ARABIC = ((("copied", 0.5), ("transliterated", 0.3), ("left", 0.2)),
          (("copied", 0.2), ("transliterated", 0.1), ("left", 0.7)))  # fmt: skip
LIKE_LETTERS = (
    "OQCGD0", "EFB8", "ILT1J", "PRBK", "MNH", "UVY", "AHR", "S5", "Z2", "XK",
    "بتثني", "جحخ", "درزذو", "سش", "صض", "طظ", "عغ", "فق", "٢٣", "٧٨", "١٦", "٥٠",
)  # fmt: skip
LATIN = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
ARABIC_LETTERS = "ابتثجحخدذرزسشصضطظعغفقكلمنهوي"

Window = tuple[str, float]


def plain(text: str) -> str:
    """Capitals without accents; signs that part lines are gaps."""
    letters = unicodedata.normalize("NFD", text.replace("~", " ").replace("ʿ", ""))
    return "".join(each for each in letters if not unicodedata.combining(each)).upper()


@lru_cache(maxsize=4096)
def windows(text: str, grade: int) -> list[Window]:
    """What stretch of the legend is read, before letters are lost; the shares sum to one."""
    words = text.split(" ")
    whole = WHOLE[grade] if len(text) > 3 else 1.0
    turned = TURNED if len(words) > 1 else 0.0
    found = [(text, whole * (1 - turned))]
    for at in range(1, len(words)):
        found.append((" ".join(words[at:] + words[:at]), whole * turned / (len(words) - 1)))
    starts = len(text) - 2
    for start in range(starts if whole < 1 else 0):
        lengths = range(3, len(text) - start + 1)
        for length in lengths:
            share = (1 - whole) / starts / len(lengths)
            found.append((text[start : start + length], share))
    over = PASSED_OVER[grade]
    less = [
        (window[:at] + window[at + 1 :], share * over / len(window))
        for window, share in found
        for at in range(len(window))
        if len(window) > 1
    ]
    kept = [(window, share * (1 - over if len(window) > 1 else 1.0)) for window, share in found]
    return kept + less


def _like(letter: str) -> dict[str, float]:
    """What a letter is taken for when it is misread."""
    every = ARABIC_LETTERS if "؀" <= letter <= "ۿ" else LATIN
    groups = [group for group in LIKE_LETTERS if letter in group]
    likes = sorted({each for group in groups for each in group} - {letter})
    found = {each: (0.2 if likes else 1.0) / len(every) for each in every}
    for each in likes:
        found[each] = found.get(each, 0.0) + 0.8 / len(likes)
    return found


class Legends:
    """Legends of all types."""

    def __init__(self, facts: Sequence[RankedType]) -> None:
        self.legends = [
            tuple(each for each in one.legends if plain(each.text).strip()) for one in facts
        ]
        if not all(self.legends):
            raise ValueError("each type needs a legend here")
        struck = sorted(
            {each for legends in self.legends for each in legends}, key=lambda each: each.text
        )
        self._number = {each: number for number, each in enumerate(struck)}
        self.strings = sorted(
            {text for each in struck for observer in (0, 1) for text, _ in ways(each, observer)}
        )
        at = {text: number for number, text in enumerate(self.strings)}
        self._ways = np.zeros((2, len(struck), len(self.strings)))
        for observer in (0, 1):
            for each in struck:
                for text, share in ways(each, observer):
                    self._ways[observer, self._number[each], at[text]] = share
        self._index()
        self._lost = self._all_unread()

    def _index(self) -> None:
        letters = sorted({*LATIN, *ARABIC_LETTERS, *"".join(self.strings), *"".join(LIKE_LETTERS)})
        self._letter = {letter: number for number, letter in enumerate(letters)}
        self._same = np.eye(len(letters))
        self._taken = np.zeros((len(letters), len(letters)))
        for letter, number in self._letter.items():
            if letter == " ":
                self._taken[number, number] = 1.0
                continue
            for other, share in _like(letter).items():
                self._taken[number, self._letter[other]] += share
        by_length: dict[int, dict[tuple[str, int], list[float]]] = {}
        for number, text in enumerate(self.strings):
            for grade in range(GRADES):
                for window, share in windows(text, grade):
                    row = by_length.setdefault(len(window), {})
                    row.setdefault((window, number), [0.0] * GRADES)[grade] += share
        self._windows = {
            length: (
                np.array([[self._letter[each] for each in window] for window, _ in rows]),
                np.array(list(rows.values())).T,
                np.array([number for _, number in rows]),
            )
            for length, rows in by_length.items()
        }

    def _all_unread(self) -> Floats:
        """Chance that nothing of a string is read, by grade; gaps read are nothing too."""
        found = np.zeros((GRADES, len(self.strings)))
        for codes, shares, number in self._windows.values():
            gap = codes == self._letter[" "]
            for grade in range(GRADES):
                fades = FADES[grade]
                readable = np.where(gap[:, 0], 1 - fades, 0.0)
                unread = np.full(len(codes), fades)
                for at in range(1, codes.shape[1]):
                    readable, unread = (
                        (readable * (1 - fades) + unread * CLEARS) * gap[:, at],
                        readable * fades + unread * (1 - CLEARS),
                    )
                np.add.at(found[grade], number, shares[grade] * (readable + unread))
        return found

    def draw(self, lot: random.Random, number: int, grade: int, observer: int, bias: int) -> Seen:
        if lot.random() < LOST[observer][grade]:
            return None
        legends = self.legends[number]
        many = 2 if len(legends) > 1 and lot.random() < TWO_LEGENDS else 1
        texts = [self._read(lot, each, grade, observer) for each in lot.sample(legends, many)]
        return (("legend", BETWEEN_LEGENDS.join(filter(None, texts))),) if any(texts) else None

    def _read(self, lot: random.Random, legend: StruckText, grade: int, observer: int) -> str:
        options = ways(legend, observer)
        chances = [share for _, share in options]
        text = lot.choices([*(text for text, _ in options), ""], [*chances, 1 - sum(chances)])[0]
        if not text:
            return ""
        among = windows(text, grade)
        window = lot.choices([each for each, _ in among], [share for _, share in among])[0]
        found, readable = "", True
        for letter in window:
            readable = lot.random() >= FADES[grade] if readable else lot.random() < CLEARS
            if not readable:
                found += "?"
            elif letter != " " and lot.random() < MISREAD[observer][grade]:
                likes = _like(letter)
                found += lot.choices([*likes], [*likes.values()])[0]
            else:
                found += letter
        return found if found.strip("? ") else ""

    def chances(self, seen: Seen, observer: int) -> Floats:
        """P(seen) by grade, (any) bias and type."""
        texts = [] if seen is None else seen[0][1].split(BETWEEN_LEGENDS)
        lost = self._of_legends(self._lost, observer)
        lost += 1 - self._ways[observer].sum(axis=1)
        read = [self._of_legends(self._of_strings(text, observer), observer) for text in texts]
        found = np.zeros((GRADES, 1, len(self.legends)))
        for number, legends in enumerate(self.legends):
            among = [self._number[each] for each in legends]
            two = TWO_LEGENDS if len(among) > 1 else 0.0
            if len(read) == 2:
                found[:, 0, number] = two * _pairs(read[0][:, among], read[1][:, among])
                continue
            of = lost if not read else read[0]
            both = _pairs(of[:, among], lost[:, among]) * (2 if read else 1)
            found[:, 0, number] = (1 - two) * of[:, among].mean(axis=1) + two * both
        gone = np.array(LOST[observer])[:, None, None]
        return (1 - gone) * found + (gone if seen is None else 0.0)

    def _of_legends(self, strings: Floats, observer: int) -> Floats:
        found: Floats = strings @ self._ways[observer].T
        return found

    def _of_strings(self, text: str, observer: int) -> Floats:
        """P(text) by grade and string."""
        found = np.zeros((GRADES, len(self.strings)))
        windows = self._windows.get(len(text))
        if windows is None or any(each != "?" and each not in self._letter for each in text):
            return found
        codes, shares, number = windows
        for grade in range(GRADES):
            misread, fades = MISREAD[observer][grade], FADES[grade]
            emits = (1 - misread) * self._same + misread * self._taken
            chance, readable = shares[grade].copy(), True
            for at, letter in enumerate(text):
                stays = letter != "?"
                turn = fades if readable else CLEARS
                chance *= turn if stays != readable else 1 - turn
                readable = stays
                if stays:
                    chance *= emits[codes[:, at], self._letter[letter]]
            np.add.at(found[grade], number, chance)
        return found


def _pairs(one: Floats, other: Floats) -> Floats:
    """Mean of one × other over the ordered pairs of two legends of a type."""
    many = one.shape[1]
    if many < 2:
        return np.zeros(one.shape[0])
    total: Floats = one.sum(axis=1) * other.sum(axis=1) - (one * other).sum(axis=1)
    return total / (many * (many - 1))


def ways(legend: StruckText, observer: int) -> list[Window]:
    """As what the legend is written down; the rest of the share leaves it."""
    if legend.script == "Latn":
        return [(plain(legend.text), 1.0)]
    texts = {"copied": legend.text, "transliterated": plain(legend.transliteration)}
    return [(texts[way], share) for way, share in ARABIC[observer] if texts.get(way)]


# Dates.

YEAR_LOST = ((0.0, 0.02, 0.08, 0.25), (0.02, 0.05, 0.15, 0.35))
DIGIT_UNREAD = ((0.0, 0.03, 0.1, 0.25), (0.01, 0.05, 0.15, 0.35))
DIGIT_MISREAD = ((0.003, 0.01, 0.03, 0.06), (0.006, 0.02, 0.05, 0.1))
LIKE_ARABIC = {
    "٠": "٥", "١": "٦", "٢": "٣", "٣": "٢", "٤": "٣", "٥": "٠", "٦": "١", "٧": "٨", "٨": "٧",
    "٩": "٦",
}  # fmt: skip
LIKE_FIGURES = LIKE_DIGITS | LIKE_ARABIC
HARDLY_SEEN = 0.05
"""Weight of proofs, patterns and the like beside an issue that circulated."""


def as_written(shown: str) -> str:
    """Of two dates on a piece, the later one is written down."""
    return shown.replace("–", "-").split("-")[-1]


class Years:
    """The date of one of the type's issues; a date in letters is read whole.

    The first figure may be unreadable, but nobody takes it for another: dates begin alike.
    """

    def __init__(self, facts: Sequence[RankedType]) -> None:
        self.dates: list[list[tuple[str, float]]] = []
        for each in facts:
            weights: dict[str, float] = {}
            for issue in each.issues:
                shown = as_written(issue.shown)
                share = 1.0 if issue.common else HARDLY_SEEN
                weights[shown] = weights.get(shown, 0.0) + share
            if not weights or "" in weights:
                raise ValueError(f"{each.key} shows no date: this model has no noise for that")
            total = sum(weights.values())
            self.dates.append([(shown, share / total) for shown, share in weights.items()])

    def draw(self, lot: random.Random, number: int, grade: int, observer: int, bias: int) -> Seen:
        dates = self.dates[number]
        shown = lot.choices([date for date, _ in dates], [share for _, share in dates])[0]
        if lot.random() < YEAR_LOST[observer][grade]:
            return None
        found = ""
        for at, figure in enumerate(shown):
            if figure not in LIKE_FIGURES:
                found += figure
            elif lot.random() < DIGIT_UNREAD[observer][grade]:
                found += "?"
            elif at and lot.random() < DIGIT_MISREAD[observer][grade]:
                found += lot.choice(LIKE_FIGURES[figure])
            else:
                found += figure
        return (("year", found),) if found.strip("?") else None

    def chances(self, seen: Seen, observer: int) -> Floats:
        """P(seen) by grade, (any) bias and type."""
        found = np.zeros((GRADES, 1, len(self.dates)))
        dates = sorted({date for each in self.dates for date, _ in each})
        for grade in range(GRADES):
            lost = YEAR_LOST[observer][grade]
            of = {
                date: lost * (seen is None)
                + (1 - lost) * self._of_date(date, seen and seen[0][1], grade, observer)
                for date in dates
            }
            for number, each in enumerate(self.dates):
                found[grade, 0, number] = sum(share * of[date] for date, share in each)
        return found

    def _of_date(self, date: str, text: str | None, grade: int, observer: int) -> float:
        unread = DIGIT_UNREAD[observer][grade]
        if text is None:
            return float(unread ** len(date)) if all(each in LIKE_FIGURES for each in date) else 0.0
        if len(text) != len(date):
            return 0.0
        chance = 1.0
        for at, (shown, read) in enumerate(zip(date, text, strict=True)):
            misread = DIGIT_MISREAD[observer][grade] if at else 0.0
            likes = LIKE_FIGURES.get(shown)
            if likes is None:
                chance *= shown == read
            elif read == "?":
                chance *= unread
            elif read == shown:
                chance *= (1 - unread) * (1 - misread)
            else:
                chance *= (1 - unread) * misread * (read in likes) / len(likes)
        return chance
