"""The value of a coin as people write it in lists, in several languages.

Computed: from a cell such as "½ Franken", "1/- (scot)", "5,– Kr." or "Lincoln cent" how many of
which unit, exactly, and the words that are left. A unit is given by the names that it may have
(``unit_words.py``); whether "penny" is a cent is told by the country, later.
A comma or stop before exactly three figures parts thousands, any other one decimals.

>>> read_value("2½ gulden").number, read_value("1.000 Lire").units, read_value("0,10").number
(Fraction(5, 2), ('lira',), Fraction(1, 10))
>>> read_value("half $").number, read_value("Fünfmarkstück"), read_value("wheat cent").words
(Fraction(1, 2), Value(text='Fünfmarkstück', number=Fraction(5, 1), unit='mark', units=('mark',), \
words=()), ('wheat',))
>>> read_value("1/-").units, read_value("2/6").number, read_value("anything")
(('shilling',), Fraction(5, 2), Value(text='anything', number=None, unit='', units=(), \
words=('anything',)))
"""

from __future__ import annotations

import re
from collections.abc import Container
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple
from unicodedata import category, normalize, numeric

from babel import Locale

from catalogue.importing.reading.lists import Value
from catalogue.importing.reading.unit_words import ENDINGS, GLUED, NAMED, NUMBERS, UNITS
from series.text.folding import fold

_NUMBER = r"\d{1,3}(?:[.,' ]\d{3})+(?![\d.,])|\d{1,9}(?:[.,]\d{1,4})?"
_FRACTION = r"\d{1,4}\s*[/⁄]\s*\d{1,4}"
_TOKEN = re.compile(
    rf"(?P<shillings>(?<!\d)\d{{1,2}}/(?:-|–|—|=))|(?P<mixed>\d{{1,4}}[\s-]+{_FRACTION}(?!\d))"
    rf"|(?P<fraction>{_FRACTION}(?!\d))"
    rf"|(?P<number>{_NUMBER})(?P<dashed>[.,]\s?[-–—=]+)?"
    r"|(?P<sign>[€$£¢¥₤]|/-)|(?P<word>[^\W\d_][^\W\d_'’.]*(?:['’.][^\W\d_]+)*\.?)|(?P<other>\S)"
)
_EURO_CENT = re.compile(
    r"(?<![^\W\d_])euro?[\s-]*(?:cents?|centen|cent[yó]w?|c[eéê]nti?m[eo]s?|centesim[io]|cts?|"
    r"sentti[äa]?|lepta|λεπτ[άα])(?!\w)\.?",
    re.IGNORECASE,
)
"""A cent said to be one of the euro, parted or not, which is no euro."""
_MOST_LETTERS = 200
_OF = {"de", "di", "of", "do", "von"}
"""Words between a number in words and its unit: a quarter of a dollar."""


class Amount(NamedTuple):
    """A number of a unit found among words: its tokens are those from ``start`` to ``end``."""

    number: Fraction
    unit: str
    units: tuple[str, ...]
    start: int
    end: int


class Token(NamedTuple):
    """A piece of a cell: its kind, as written, folded, and the number that it is."""

    kind: str
    text: str
    folded: str
    number: Fraction | None = None


@lru_cache(maxsize=20_000)
def read_value(text: str, own_units: Container[str] = frozenset()) -> Value:
    """The value that a cell names; ``own_units`` are folded names of further units."""
    tokens = tokens_of(text)
    amount = find_amount(tokens, own_units)
    if amount is None:
        alone = [token for token in tokens if token.number is not None]
        words = tuple(t.folded for t in tokens if t.number is None and t.folded)
        return Value(text, alone[0].number if len(alone) == 1 else None, "", (), words)
    left = [*tokens[: amount.start], *tokens[amount.end :]]
    words = tuple(token.folded for token in left if token.folded)
    return Value(text, amount.number, amount.unit, amount.units, words)


def tokens_of(text: str) -> list[Token]:
    """The numbers, signs and words of a cell; figures parted from what is glued to them."""
    opened = "".join(
        f" {normalize('NFKC', c)} " if numeric(c, 0) % 1 else c for c in text[:_MOST_LETTERS]
    )
    opened = _EURO_CENT.sub("eurocent", opened)
    opened = re.sub(r"(?<=\d) {2,}(?=\d+⁄)", " ", opened)
    return [_token(match) for match in _TOKEN.finditer(opened)]


def _token(match: re.Match[str]) -> Token:
    kind = match.lastgroup or "other"
    said = match[0].strip()
    if match["shillings"]:
        return Token("shillings", said, said, Fraction(said[:-2]))
    if match["mixed"] or match["fraction"]:
        whole, over, under = _parts(said)
        number = None if under == 0 else whole + Fraction(over, under)
        return Token("fraction", said, said.replace("⁄", "/"), number)
    if match["number"]:
        return Token("number", said, fold(match["number"]), _number(match["number"]))
    return Token(kind, said, said if category(said[0]) == "Sc" else fold(said))


def _parts(said: str) -> tuple[int, int, int]:
    whole, over, under = re.fullmatch(r"(?:(\d+)[\s-]+)?(\d+)\s*[/⁄]\s*(\d+)", said).groups()  # type: ignore[union-attr]
    return int(whole or 0), int(over), int(under)


def _number(said: str) -> Fraction:
    grouped = re.fullmatch(r"\d{1,3}(?:[.,' ]\d{3})+", said)
    if grouped and not said.startswith("0"):
        return Fraction(re.sub(r"[.,' ]", "", said))
    return Fraction(said.replace(",", ".").replace("'", "").replace(" ", ""))


def find_amount(tokens: list[Token], own_units: Container[str] = frozenset()) -> Amount | None:
    """The first number with a unit among tokens, else a coin by its name, else a bare unit."""
    for at, token in enumerate(tokens):
        found = _from_number(tokens, at, own_units) if token.number is not None else None
        if found is None and token.kind in ("word", "sign"):
            found = _from_word(tokens, at, own_units)
        if found is not None:
            return found
    for at, token in enumerate(tokens):
        units = _units(token, own_units) if token.kind in ("word", "sign") else ()
        if token.folded in NAMED or (units and (len(token.folded) > 2 or token.kind == "sign")):
            return Amount(Fraction(1), token.text, units or (token.folded,), at, at + 1)
    return _unheard_of(tokens)


def _unheard_of(tokens: list[Token]) -> Amount | None:
    """A number with the word after it, where that is no unit known here."""
    for at, (token, after) in enumerate(pairwise(tokens)):
        if token.number is not None and after.kind == "word" and after.folded:
            return Amount(token.number, after.text, (after.folded,), at, at + 2)
    return None


def _from_number(tokens: list[Token], at: int, own_units: Container[str]) -> Amount | None:
    """A number with the unit after it, or with a sign before it."""
    number = tokens[at].number
    if number is None:
        return None
    if tokens[at].kind == "shillings":
        return Amount(number, "/-", ("shilling",), at, at + 1)
    after = _unit_at(tokens, at + 1, own_units)
    if after is not None:
        unit, units, end = after
        return Amount(number, unit, units, at, end)
    if at and tokens[at - 1].kind == "sign" and _units(tokens[at - 1], own_units):
        sign = tokens[at - 1]
        return Amount(number, sign.text, _units(sign, own_units), at - 1, at + 1)
    if at and tokens[at - 1].kind == "word" and len(tokens[at - 1].folded) <= 3:
        units = _units(tokens[at - 1], own_units)
        if units and len(tokens[at - 1].folded) > 1 and number < 1000:
            return Amount(number, tokens[at - 1].text, units, at - 1, at + 1)
    if re.fullmatch(r"\d{1,2}/6", tokens[at].text) and len(tokens) == 1 and number.denominator != 6:
        over, under = map(int, tokens[at].text.split("/"))
        return Amount(over + Fraction(under, 12), "/-", ("shilling",), at, at + 1)
    return None


def _unit_at(
    tokens: list[Token], at: int, own_units: Container[str]
) -> tuple[str, tuple[str, ...], int] | None:
    """The unit that stands at a place, of up to three words."""
    if at < len(tokens) and (tokens[at].text in ".-" or tokens[at].folded in _OF):
        at += 1
    for length in (3, 2, 1):
        some = tokens[at : at + length]
        if len(some) == length and all(token.kind in ("word", "sign") for token in some):
            folded = " ".join(token.folded for token in some)
            joined = Token("word", " ".join(t.text for t in some), folded)
            if units := _units(joined, own_units):
                return joined.text, units, at + length
    return None


def _units(token: Token, own_units: Container[str]) -> tuple[str, ...]:
    """The units that a word may name; a coin's own name counts as one."""
    units = UNITS.get(token.folded, ())
    if token.folded in own_units:
        units = (token.folded, *(unit for unit in units if unit != token.folded))
    if token.folded in NAMED and token.folded not in units:
        units = (token.folded, *units)
    return units or _of_code(token.text)


@lru_cache(maxsize=5_000)
def _of_code(text: str) -> tuple[str, ...]:
    """The unit of a money by its code in ISO 4217, which its English name ends with."""
    name = str(Locale("en").currencies.get(text, "")) if re.fullmatch("[A-Z]{3}", text) else ""
    words = fold(re.sub(r"\(.*\)", "", name)).split()
    return UNITS.get(words[-1], (words[-1],)) if words else ()


def _from_word(tokens: list[Token], at: int, own_units: Container[str]) -> Amount | None:
    """A number in words with its unit after it, or glued before it."""
    folded = tokens[at].folded
    pair = " ".join(token.folded for token in tokens[at : at + 2])
    for words, length in ((pair, 2), (folded, 1)):
        number = NUMBERS.get(words)
        after = None if number is None else _unit_at(tokens, at + length, own_units)
        if number is not None and after is not None:
            unit, units, end = after
            return Amount(number, unit, units, at, end)
    if folded in NUMBERS and folded not in NAMED:
        return None
    glued = _glued(folded, own_units) if folded not in UNITS and folded not in NAMED else None
    return None if glued is None else Amount(glued[0], glued[1], (glued[1],), at, at + 1)


def _glued(folded: str, own_units: Container[str]) -> tuple[Fraction, str] | None:
    """The number and unit of one word: halfpenny, Fünfmarkstück, tioöring."""
    for word in GLUED:
        if folded.startswith(word) and len(folded) > len(word) + 2:
            rest = folded[len(word) :]
            for ending in ("", *ENDINGS):
                unit = rest.removesuffix(ending) if ending else rest
                if len(unit) > 2 and (unit in UNITS or unit in own_units):
                    return NUMBERS[word], UNITS.get(unit, (unit,))[0]
    return None
