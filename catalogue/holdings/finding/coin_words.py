"""What a few words about a coin ask for: its value, its country, its date, mint letter and grade.

Computed, from a text as people write it ("5sund", "€2", "½ crown", "25 tinne 1934 C VF"): terms,
each of which a coin's folded text must answer in one of several forms, amounts with the unit they
are in, the last year, and what follows that year.

Units: amounts are exact fractions of the unit named. Years are those of the Common Era.
Source: the signs and short names of units, and the names that are common for coins of a value
under another name, are common practice, no source.

>>> asked = read_words("25tinne 1934 C VF")
>>> asked.terms[0].amount, asked.terms[0].units, asked.date, asked.after
(Fraction(25, 1), ('tinne',), '1934', ('C', 'VF'))
>>> [form[-1].text for form in read_words("€2").terms[0].forms], read_words("1c").terms[0].units
(['€', 'euro'], ('c', 'cent'))
>>> read_words("½ crown").terms[0].amount
Fraction(1, 2)
>>> date_and_grade(asked, "25 tinne", ["1934 S", "1934 C"])
('1934 C', 'VF')
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple
from unicodedata import category, normalize, numeric

from catalogue.holdings.grades import SCALES, GradeError, grade
from series.text.folding import fold

MOST = 8
"""More words than this of a search are not looked at."""

_SHORT: Mapping[str, tuple[str, ...]] = {
    "€": ("euro",), "$": ("dollar", "peso"), "£": ("pound", "lira"), "¢": ("cent",),
    "¥": ("yen", "yuan"), "c": ("cent",), "ct": ("cent",), "cts": ("cent",),
    "p": ("penny", "pence"), "d": ("penny", "pence"), "s": ("shilling",), "pf": ("pfennig",),
    "fr": ("franc",), "kr": ("kron", "korun"), "rs": ("rupee",),
}  # fmt: skip
"""Signs and short names of units, and how the names they stand for begin."""

_CALLED: Mapping[str, tuple[str, ...]] = {
    "penny": ("1", "cent", "dollar"),
    "pennies": ("1", "cent", "dollar"),
    "nickel": ("5", "cents", "dollar"),
}
"""Coins that go by another name than their value, and the words of their record."""

_PARTS = {"half": Fraction(1, 2), "third": Fraction(1, 3), "quarter": Fraction(1, 4)}
_NUMBER = r"(?:[0-9]{1,4} )?[0-9]{1,9}(?:\.[0-9]{1,4})?(?:/[0-9]{1,4})?"
_GLUED = re.compile(rf"({_NUMBER})([^\W\d]+|\W)\.?")
_BEFORE = re.compile(rf"(\W)({_NUMBER})")
_DATE = re.compile(r"1[0-9?xX]{3}|2[0?xX][0-9?xX]{2}")
_DATED_MARK = re.compile(r"((?:1\d|20)\d\d)([A-Za-z]{1,2})")
_YEAR = re.compile(r"1\d{3}|20\d{2}")


class Word(NamedTuple):
    """A folded word of a record, or what one begins with."""

    text: str
    whole: bool = False


@dataclass(frozen=True)
class Term:
    """One thing asked for: all the words of one of its forms, or an amount in one of its units.

    ``year``: it may be meant as a year too. ``apart``: what was written, where it may also be a
    number and a word that have nothing to do with each other.
    """

    forms: tuple[tuple[Word, ...], ...]
    amount: Fraction | None = None
    units: tuple[str, ...] = ()
    year: int | None = None
    apart: tuple[Term, ...] = ()

    @property
    def word(self) -> str:
        """The one word that was written, where it is one; "" else."""
        first = self.forms[0]
        return first[0].text if len(first) == 1 and self.amount is None else ""


@dataclass(frozen=True)
class Asked:
    """What a text asks for; ``date`` and ``after`` as they were written."""

    terms: tuple[Term, ...] = ()
    date: str = ""
    after: tuple[str, ...] = ()

    @property
    def only_date(self) -> bool:
        """Whether nothing but a date was written, as for one more piece of the same coin."""
        return bool(self.date) and all(term.year is not None for term in self.terms)


def is_year(word: str) -> bool:
    """Whether a word of a search may be meant as a year."""
    return _YEAR.fullmatch(word) is not None


def read_words(text: str) -> Asked:
    """What a text asks for; see the module's docstring."""
    tokens = _tokens(text)
    at = max((n for n, token in enumerate(tokens) if _DATE.fullmatch(token)), default=None)
    date = ""
    after: tuple[str, ...] = ()
    rest = [(token, False) for token in tokens]
    if at is not None:
        date = tokens[at].replace("x", "?").replace("X", "?")
        count = _count_after(tokens[at + 1 :])
        after = tuple(tokens[at + 1 : at + 1 + count])
        dated = [(tokens[at], True)] if is_year(tokens[at]) else []
        rest = rest[:at] + dated + rest[at + 1 + count :]
    return Asked(tuple(_terms(rest))[:MOST], date, after)


def date_and_grade(asked: Asked, value: str, labels: Iterable[str]) -> tuple[str, str]:
    """The date and the grade that were written, for a coin of this value with these dates.

    A letter after the year is a mint's where the coin has such a date, else a grade where it can
    be one, else a mint's.
    """
    if not asked.date or asked.date in fold(value).split():
        return "", ""
    known = {close(label) for label in labels}
    first, rest = asked.after[:1], asked.after[1:]
    date = " ".join([asked.date, *first])
    if first and close(date) in known:
        return date, _graded(rest)
    if _graded(asked.after):
        return asked.date, _graded(asked.after)
    return date, _graded(rest)


def _tokens(text: str) -> list[str]:
    """Words, with fractions opened, a sign by its number, a mark apart from its year."""
    opened = "".join(
        f" {normalize('NFKD', each)}" if numeric(each, 0) % 1 and len(each) == 1 else each
        for each in text.replace("⁄", "/")
    )
    words = re.sub(r"[,;()\[\]]+", " ", opened.replace("⁄", "/")).split()
    found: list[str] = []
    for word in words:
        dated = _DATED_MARK.fullmatch(word)
        if dated:
            found += dated.groups()
        elif "/" in word and found and re.fullmatch(r"[0-9]{1,3}", found[-1]):
            found[-1] += f" {word}"  # 2 1/2
        else:
            found.append(word)
    return found


def _count_after(tokens: list[str]) -> int:
    """How many words after a year are a mint's letters or a grade."""
    lettered = bool(tokens) and re.fullmatch(r"[A-Za-z]{1,2}", tokens[0]) is not None
    counts = [int(lettered)]
    for start in range(int(lettered) + 1):
        for length in (1, 2):
            if len(tokens) >= start + length and _graded(tokens[start : start + length]):
                counts.append(start + length)
    return max(counts)


def _graded(words: Iterable[str]) -> str:
    """The grade these words are on one of the scales; "" when they are none."""
    text = " ".join(words)
    for scale in SCALES if text else ():
        try:
            return grade(scale, text).code
        except GradeError:
            continue
    return ""


def _terms(tokens: list[tuple[str, bool]]) -> Iterable[Term]:
    """The terms of words; with each word whether it is the date."""
    ahead = list(tokens)
    while ahead:
        token, dated = ahead.pop(0)
        if dated:
            yield Term(((Word(token),),), year=int(token))
            continue
        glued, before = _GLUED.fullmatch(token), _BEFORE.fullmatch(token)
        if glued and _is_unit(glued[2]):
            yield _amount(glued[1], glued[2], whole=True)
        elif before and category(before[1]) == "Sc":
            yield _amount(before[2], before[1], whole=True)
        elif (fold(token) in _PARTS or re.fullmatch(_NUMBER, token)) and not is_year(token):
            following = fold(ahead[0][0]) if ahead and not ahead[0][1] else ""
            if following.isalpha() or following in _SHORT:
                ahead.pop(0)
                amount = _amount(token, following, whole=following in _SHORT or "/" in token)
                yield replace(amount, apart=(*_plain(token), *_plain(following)))
            else:
                yield from _plain(token)
        else:
            yield from _plain(token)


def _is_unit(text: str) -> bool:
    return text.isalpha() or category(text[0]) == "Sc"


def _plain(token: str) -> Iterable[Term]:
    for word in fold(token).split():
        forms: list[tuple[Word, ...]] = [(Word(word),)]
        forms += [(Word(fold(name)),) for name in _SHORT.get(word, ()) if not word.isalpha()]
        if word in _CALLED:
            forms.append(tuple(Word(each, whole=True) for each in _CALLED[word]))
        yield Term(tuple(forms), year=int(word) if is_year(word) else None)


def _amount(figure: str, unit: str, *, whole: bool) -> Term:
    """A term for an amount of a unit: by its words, and by its value."""
    number = _PARTS.get(fold(figure))
    if number is None:
        number = _fraction(figure)
    named = tuple(fold(unit).split()) or (unit,)
    units = (*named, *map(fold, _SHORT.get(unit.casefold(), ())))
    figures = [tuple(Word(each, whole) for each in fold(figure.replace("/", " ")).split())]
    figures += [(Word(name),) for name, part in _PARTS.items() if part == number != figure]
    if fold(figure) in _PARTS and number is not None:
        figures.append((Word("1", whole=True), Word(str(number.denominator), whole=True)))
    forms = [(*each, Word(name)) for each in dict.fromkeys(figures) for name in units]
    if _SHORT.get(unit.casefold()):  # a short name is a word by itself, not how one begins
        forms = [tuple(Word(w.text, True) if w.text == units[0] else w for w in f) for f in forms]
    return Term(tuple(forms), amount=number, units=units)


def _fraction(figure: str) -> Fraction | None:
    over, _, under = figure.split()[-1].partition("/")
    if under and not int(under):
        return None
    whole = figure.split()[0] if " " in figure else 0
    return Fraction(whole) + Fraction(over) / Fraction(under or 1)


def close(text: str) -> str:
    """ "1947 S" and "1947s" alike."""
    return fold(text).replace(" ", "")
