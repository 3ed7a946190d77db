"""One metal of a coin: an alloy by mass, a fineness, or a plain name.

What is computed: from a short text, the share by mass of each element, as exact fractions from
a least to a most. Sources: ISO 1190-1 for the notation of alloys by percent of mass, the first
element taking the balance (``CuZn20Ni5``), as in EU law, which writes all (``Cu75Ni25``);
millesimal fineness and carat (24 carat is pure) are common practice, no source. So are the
ranges of what a plain name may stand for: common practice, from memory.

* ``Cu75Ni25``, ``CuZn20Ni5``, ``Cu88.5Zn6Mn3.5Ni2``; a lone ``Cu`` is pure;
* ``silver 900``, ``silver 0.925``, ``gold 22 carat``: the rest is not stated;
* ``bronze``, ``steel``, ``copper-nickel``: a name, proportions not known;
* ``"porcelain"``: in quotes, anything else, of which nothing is computed.

>>> parse_alloy("CuZn20Ni5").share("Cu") == (Fraction(3, 4), Fraction(3, 4))
True
>>> str(parse_alloy("22 ct gold")), parse_alloy("gold 22 carat").share("Au")[0]
('gold 22 carat', Fraction(11, 12))
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from series.metal.elements import NAME, SYMBOL
from series.text.words import plain


class CompositionError(ValueError):
    """A composition that cannot be read; the message says what to write instead."""


@dataclass(frozen=True)
class Alloy:
    """One metal. ``str()`` is its canonical notation.

    ``shares`` gives each element's least and most share by mass, from 0 to 1; it is empty where
    nothing is known. ``name`` is set where the metal was written as a plain name.
    """

    notation: str
    shares: tuple[tuple[str, Fraction, Fraction], ...] = ()
    name: str = ""

    def __str__(self) -> str:
        return self.notation

    def share(self, element: str) -> tuple[Fraction, Fraction]:
        """Least and most share of an element by mass, as stated."""
        found = {symbol: (least, most) for symbol, least, most in self.shares}
        return found.get(element, (Fraction(0), Fraction(0)))


# Least and most percent by mass; common practice, from memory. What a name may stand for is
# wide on purpose: a range that holds the truth is better than a figure that does not.
NAMED: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "aluminium": {"Al": (90, 100), "Mg": (0, 6), "Mn": (0, 2), "Cu": (0, 5)},
    "aluminium-bronze": {
        "Cu": (80, 97), "Al": (3, 11), "Ni": (0, 6), "Zn": (0, 6), "Fe": (0, 5), "Sn": (0, 2)
    },
    "billon": {"Ag": (5, 50), "Cu": (40, 95), "Sn": (0, 5), "Zn": (0, 10)},
    "brass": {"Cu": (55, 95), "Zn": (5, 45)},
    "bronze": {"Cu": (80, 98), "Sn": (0.5, 15), "Zn": (0, 5)},
    "copper": {"Cu": (96, 100), "Sn": (0, 2), "Zn": (0, 2), "Pb": (0, 2)},
    "copper-nickel": {"Cu": (60, 90), "Ni": (10, 40)},
    "electrum": {"Au": (20, 80), "Ag": (20, 80), "Cu": (0, 20)},
    "gilding metal": {"Cu": (80, 97), "Zn": (3, 20)},
    "gold": {"Au": (33, 100), "Ag": (0, 67), "Cu": (0, 67)},
    "iron": {"Fe": (95, 100), "C": (0, 4), "Si": (0, 3)},
    "lead": {"Pb": (85, 100), "Sn": (0, 15), "Sb": (0, 15)},
    "manganese brass": {"Cu": (60, 90), "Zn": (5, 38), "Mn": (1, 8), "Ni": (0, 5)},
    "nickel": {"Ni": (95, 100), "Co": (0, 3), "Fe": (0, 3), "Cu": (0, 5)},
    "nickel brass": {"Cu": (60, 85), "Zn": (10, 35), "Ni": (0.5, 10)},
    "nickel silver": {"Cu": (45, 75), "Zn": (8, 45), "Ni": (8, 30)},
    "palladium": {"Pd": (80, 100), "Ru": (0, 5), "Cu": (0, 20)},
    "pewter": {"Sn": (60, 99), "Pb": (0, 40), "Sb": (0, 10), "Cu": (0, 5)},
    "platinum": {"Pt": (80, 100), "Ir": (0, 10), "Cu": (0, 10), "Fe": (0, 10), "Pd": (0, 10)},
    "potin": {"Cu": (40, 80), "Sn": (5, 35), "Pb": (5, 45), "Zn": (0, 10), "Ag": (0, 10)},
    "silver": {"Ag": (25, 100), "Cu": (0, 75), "Zn": (0, 15), "Ni": (0, 15)},
    "stainless steel": {"Fe": (50, 89.5), "Cr": (10.5, 30), "Ni": (0, 25), "Mn": (0, 5)},
    "steel": {"Fe": (96, 100), "C": (0, 0.3), "Mn": (0, 2), "Si": (0, 0.5)},
    "tin": {"Sn": (85, 100), "Pb": (0, 15), "Sb": (0, 10), "Cu": (0, 5)},
    "zinc": {"Zn": (93, 100), "Al": (0, 5), "Cu": (0, 5)},
}  # fmt: skip

# Spellings without hyphens, and names that stand for one composition: Nordic gold is the alloy of
# Regulation (EU) No 729/2014; sterling is 925 (common practice, no source).
_SAME: Mapping[str, str] = {
    **{name.replace("-", " "): name for name in NAMED},
    "alu": "aluminium",
    "aluminum": "aluminium",
    "aluminum bronze": "aluminium-bronze",
    "cupro nickel": "copper-nickel",
    "cupronickel": "copper-nickel",
    "german silver": "nickel silver",
    "nordic gold": "Cu89Al5Zn5Sn1",
    "stainless": "stainless steel",
    "sterling": "silver 925",
    "sterling silver": "silver 925",
}

_NOBLE = "silver|gold|platinum|palladium"
_NUMBER = r"(?:\d{1,4}(?:[.,]\d{1,6})?|[.,]\d{1,6})"
_FINENESS = re.compile(
    rf"(?:(?P<metal>{_NOBLE})\s+(?P<figure>{_NUMBER})|(?P<figure2>{_NUMBER})\s+(?P<metal2>{_NOBLE}))"
    r"(?:\s*/\s*1000|\s*‰)?",
    re.IGNORECASE,
)
_CARAT_WORD = r"\s*-?(?:carats?|karats?|ct|kt|k)\b\.?"
_CARAT = re.compile(
    rf"gold\s+(?P<figure>{_NUMBER}){_CARAT_WORD}|(?P<figure2>{_NUMBER}){_CARAT_WORD}\s*gold",
    re.IGNORECASE,
)
_ELEMENT = re.compile(r"([A-Z][a-z]?)\s*(\d{1,4}(?:[.,]\d{1,4})?)?\s*")

# What may make up the rest of an alloy of which only the fineness is stated, and the most of it
# by mass; common practice, no source.
_TENTH, _ALL = Fraction(1, 10), Fraction(1)
_REST: Mapping[str, tuple[tuple[str, Fraction], ...]] = {
    "Ag": (("Cu", _ALL), ("Zn", _TENTH), ("Ni", _TENTH)),
    "Au": (("Cu", _ALL), ("Ag", _ALL), ("Zn", _TENTH), ("Ni", _TENTH)),
    "Pt": (("Cu", _ALL), ("Ir", _TENTH), ("Pd", _TENTH), ("Fe", _TENTH)),
    "Pd": (("Cu", _ALL), ("Ag", _ALL), ("Ru", _TENTH)),
}


def parse_alloy(text: str) -> Alloy:
    """Read one metal; raise CompositionError saying what to write instead."""
    text = " ".join(text.split())
    if match := re.fullmatch(r'"\s*([^"]*?)\s*"|“\s*([^”"]*?)\s*”', text):
        inner = match[1] or match[2] or ""
        if not inner:
            raise CompositionError('The quotes are empty: write what it is, "porcelain".')
        return Alloy(f'"{inner}"', (), inner)
    name = _SAME.get(text.lower().replace("-", " "), text.lower())
    if name in NAMED:
        return _named(name)
    if name in SYMBOL:  # an element that has no looser meaning
        return _exact(SYMBOL[name], {SYMBOL[name]: Fraction(1)})
    if name != text.lower():
        text = name
    if match := _CARAT.fullmatch(text):
        return _carat(match["figure"] or match["figure2"])
    if match := _FINENESS.fullmatch(text):
        metal = (match["metal"] or match["metal2"]).lower()
        return _fineness(metal, match["figure"] or match["figure2"])
    return _by_elements(text)


def _number(text: str) -> Fraction:
    return Fraction(text.replace(",", "."))


def number_text(number: Fraction) -> str:
    """A fraction with a finite decimal form, in figures: 25, 0.5, 916.7.

    >>> number_text(Fraction(25)), number_text(Fraction(177, 2))
    ('25', '88.5')
    """
    return plain(Decimal(number.numerator) / Decimal(number.denominator))


def _exact(notation: str, parts: Mapping[str, Fraction]) -> Alloy:
    return Alloy(notation, tuple((symbol, part, part) for symbol, part in parts.items()))


def _named(name: str) -> Alloy:
    shares = tuple(
        (symbol, Fraction(str(least)) / 100, Fraction(str(most)) / 100)
        for symbol, (least, most) in NAMED[name].items()
    )
    return Alloy(name, shares, name)


def _with_rest(notation: str, symbol: str, part: Fraction) -> Alloy:
    if part == 1:
        return _exact(symbol, {symbol: part})
    rest = tuple((other, Fraction(0), min(1 - part, most)) for other, most in _REST[symbol])
    return Alloy(notation, ((symbol, part, part), *rest))


def _carat(figure: str) -> Alloy:
    carats = _number(figure)
    if not 0 < carats <= 24:
        raise CompositionError(f"'{figure} carat' is not of 24: write gold 22 carat or gold 900.")
    return _with_rest(f"gold {number_text(carats)} carat", "Au", carats / 24)


def _fineness(metal: str, figure: str) -> Alloy:
    number = _number(figure)
    if 100 <= number <= 1000:
        part = number / 1000
    elif 0 < number < 1:
        part = number
    else:
        raise CompositionError(
            f"'{metal} {figure}' is not a fineness in thousandths: write {metal} 900, or "
            f"{metal} 0.9, or {metal} 0.08 where it is below 100."
        )
    written = number_text(part * 1000 if part * 10 >= 1 else part)
    return _with_rest(f"{metal} {written}", SYMBOL[metal], part)


def _by_elements(text: str) -> Alloy:
    pieces: list[tuple[str, str]] = []
    place = 0
    while place < len(text):
        match = _ELEMENT.match(text, place)
        if match is None:
            raise _unreadable(text)
        pieces.append((match[1], (match[2] or "").replace(",", ".")))
        place = match.end()
    if not pieces:
        raise CompositionError("A metal is missing: write Cu75Ni25, silver 900 or bronze.")
    symbols = [symbol for symbol, _ in pieces]
    for symbol in symbols:
        if symbol not in NAME:
            raise _unreadable(text, symbol)
        if symbols.count(symbol) > 1:
            raise CompositionError(f"'{text}' names {symbol} twice: write its whole share once.")
    if len(pieces) == 1 and pieces[0][1] in ("", "100"):
        return _exact(symbols[0], {symbols[0]: Fraction(1)})
    if missing := [symbol for symbol, figure in pieces[1:] if not figure]:
        raise CompositionError(
            f"'{text}' gives no share for {missing[0]}: write the percent after every element but "
            "the first, CuZn20Ni5, or a plain name if it is not known, copper-nickel."
        )
    return _shared_out(text, pieces)


def _shared_out(text: str, pieces: list[tuple[str, str]]) -> Alloy:
    parts = {symbol: _number(figure or "0") / 100 for symbol, figure in pieces}
    total, first = sum(parts.values(), Fraction(0)), pieces[0][0]
    if any(part == 0 and figure for (_, figure), part in zip(pieces, parts.values(), strict=True)):
        raise CompositionError(f"'{text}' gives a share of nothing: leave that element out.")
    if not pieces[0][1]:
        if total >= 1:
            raise CompositionError(
                f"'{text}' leaves nothing for {first}: the other shares make "
                f"{number_text(total * 100)} percent. Write shares below 100, CuZn20Ni5."
            )
        parts[first] = 1 - total
    elif len(pieces) == 1 or total > 5:
        noble = NAME[first] if NAME[first] in _NOBLE.split("|") else "silver"
        raise CompositionError(
            f"'{text}' makes {number_text(total * 100)} percent. For a fineness in thousandths "
            f"write {noble} 900; otherwise percents that make 100, Ag90Cu10."
        )
    elif total != 1:
        rest = "".join(symbol + figure for symbol, figure in pieces[1:])
        raise CompositionError(
            f"'{text}' makes {number_text(total * 100)} percent, not 100. Give {first} no number "
            f"if it is the balance: {first}{rest}."
        )
    notation = "".join(
        symbol + (number_text(_number(figure)) if figure else "") for symbol, figure in pieces
    )
    return _exact(notation, parts)


def _unreadable(text: str, symbol: str = "") -> CompositionError:
    if re.search(r"\d\s*%", text):
        return CompositionError(
            f"'{text}' cannot be read: write an alloy without percent signs, Cu75Ni25, and a "
            "fineness in thousandths, silver 900. A percent after a metal is its share in a "
            "build: core: Zn; plating: Cu 2.5%."
        )
    if symbol and re.fullmatch(r"([A-Z][a-z]?\s*[\d.,]*\s*)+", text) and re.search(r"\d", text):
        return CompositionError(
            f"'{symbol}' in '{text}' is no metal known here: write symbols of elements with their "
            "percent, Cu75Ni25."
        )
    return CompositionError(
        f"'{text}' is no metal known here. Write symbols with percents (Cu75Ni25), a fineness "
        f'(silver 900, gold 22 carat), one of {", ".join(NAMED)}, or "{text}" in quotes.'
    )
