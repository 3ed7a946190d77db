"""Figures, coins and lengths as a speaker says them.

What is computed: pieces of English sentences from plain values; lengths mm, masses g, clock places
hours. Numbers are in words up to ninety-nine and at round hundreds and thousands, above in figures;
a length that is no whole number of quarters is said to the nearest half with "about", below a
millimetre in tenths. Common practice of speakers, no source.

>>> length(Decimal("2.5")), length(Decimal("0.5")), length(Decimal("19.05")), length(Decimal("0.1"))
('two and a half millimetres', 'half a millimetre', 'about nineteen millimetres', \
'a tenth of a millimetre')
>>> units = (("cent", "cents"), ("tinne", "tinne"))
>>> [coin(name, units) for name in ("25 tinne", "5 cents", "1 cent", "half crown", "100 tinne")]
['twenty-five tinne', 'five-cent piece', 'one-cent piece', 'half crown', 'hundred tinne']
>>> of_years(1960, 1985), of_years(1946, 1946), of_years(1975, 1976), of_years(2005, None)
('from 1960 to 1985', 'in 1946', 'in 1975 and 1976', 'from 2005')
>>> by_clock(Decimal("3.5")), by_clock(Decimal("6.25"))
('half past three', 'a quarter past six')
>>> country("Halvern, Harbour Board"), country("Ouran Islands"), country("Halvern")
('the Harbour Board of Halvern', 'the Ouran Islands', 'Halvern')
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from series.money.units import AmountError, read_number
from series.text.english import NUMBERS, a, is_plural, listed, the
from series.text.words import clock_text, plain, year_text

_WORD_OF = {number: word for word, number in NUMBERS.items()}
_ORDINALS = {
    "one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth",
    "nine": "ninth", "twelve": "twelfth",
}  # fmt: skip
_QUARTERS = {1: "a quarter", 2: "a half", 3: "three quarters"}
_TENTHS = {1: "a tenth", **{n: f"{_WORD_OF[n]} tenths" for n in range(2, 10)}}


# ---- numbers ----
def number(value: int) -> str:
    """A whole number in words, as far as a listener would hear it so.

    >>> number(28), number(100), number(4000), number(1450000), number(0)
    ('twenty-eight', 'a hundred', 'four thousand', '1,450,000', 'none')
    """
    if value == 0:
        return "none"
    for size, name in ((1000, "thousand"), (100, "hundred")):
        if value >= size and value % size == 0 and value // size < 100:
            count = value // size
            return f"a {name}" if count == 1 else f"{number(count)} {name}"
    if not 0 < value < 100:
        return f"{value:,}"
    tens, ones = value - value % 10, value % 10
    return _WORD_OF.get(value) or f"{_WORD_OF[tens]}-{_WORD_OF[ones]}"


def ordinal(value: int) -> str:
    """Which of a row: "eleventh", "twenty-first"; above ninety-nine in figures.

    >>> ordinal(11), ordinal(21), ordinal(30), ordinal(112)
    ('eleventh', 'twenty-first', 'thirtieth', '112th')
    """
    if not 0 < value < 100:
        ends = {1: "st", 2: "nd", 3: "rd"}
        return f"{value}{'th' if value % 100 in (11, 12, 13) else ends.get(value % 10, 'th')}"
    head, hyphen, last = number(value).rpartition("-")
    last = _ORDINALS.get(last) or (f"{last[:-1]}ieth" if last.endswith("y") else f"{last}th")
    return f"{head}{hyphen}{last}"


def times(value: Fraction) -> str:
    """A number of units as it is said: "two", "two and a half", "23.6425".

    >>> times(Fraction(5, 2)), times(Fraction(10)), times(Fraction("23.6425"))
    ('two and a half', 'ten', '23.6425')
    """
    if value.denominator == 1:
        return number(value.numerator)
    whole, rest = divmod(value * 4, 4)
    if rest.denominator == 1:
        part = _QUARTERS[int(rest)]
        return f"{number(int(whole))} and {part}" if whole else part
    try:
        return plain(Decimal(value.numerator) / Decimal(value.denominator))[:12]
    except ArithmeticError:
        return str(value)


# ---- lengths and masses ----
def length(value: Decimal) -> str:
    """A length in millimetres as a speaker says it."""
    if value < 1 and value * 4 % 1:
        tenths = value * 10
        if tenths % 1:
            return f"{plain(value)} millimetres"
        return f"{_TENTHS[int(tenths)]} of a millimetre"
    about = "about " if value * 4 % 1 else ""
    near = Fraction(round(value * 2), 2) if about else Fraction(value)
    return about + _measured(near, "millimetre")


def mass(value: Decimal) -> str:
    """A mass in grams: halves and quarters in words, others in figures.

    >>> mass(Decimal("1.5")), mass(Decimal("4.20")), mass(Decimal("0.5")), mass(Decimal(1))
    ('one and a half grams', '4.2 grams', 'half a gram', 'one gram')
    """
    if value * 4 % 1 and (value > 1 or value * 10 % 1):
        return f"{plain(value)} grams"
    if value * 4 % 1:
        return f"{_TENTHS[int(value * 10)]} of a gram"
    return _measured(Fraction(value), "gram")


def _measured(value: Fraction, unit: str) -> str:
    if value == Fraction(1, 2):
        return f"half a {unit}"
    if value < 1:
        return f"{times(value)} of a {unit}"
    return f"{times(value)} {unit}{'' if value == 1 else 's'}"


# ---- coins, countries, years, places ----
_LEADING = re.compile(r"(?P<number>[0-9][0-9.,/]*[½¼¾⅓⅔⅛]?|[½¼¾⅓⅔⅛])\s+(?P<unit>\S.*)")


def coin(name: str, units: Sequence[tuple[str, str]] = ()) -> str:
    """A denomination as it is said after "the"; ``units`` are names and plurals of its money."""
    match = _LEADING.fullmatch(name.strip())
    if match is None:
        return name.strip()
    unit, figures = match["unit"], match["number"].replace(",", "")
    try:
        said = times(read_number(figures)).removeprefix("a ")
    except AmountError:
        return name.strip()
    one = _singular(unit, units)
    if one:
        return f"{said.replace(' ', '-')}-{one} piece"
    return f"{said} {unit}"


def _singular(unit: str, units: Sequence[tuple[str, str]]) -> str:
    """The singular of a unit that has another plural; "" for any other word."""
    for name, plural in units:
        if plural and plural != name:
            if unit in (name, plural):
                return name
            if unit in (name.split()[-1], plural.split()[-1]):
                return name.split()[-1]
    return ""


_BODIES = {
    "authority", "board", "commonwealth", "company", "duchy", "empire", "federation",
    "government", "kingdom", "republic", "state", "states", "union",
}  # fmt: skip
_WITH_THE = {"area", "islands", "isles", "netherlands", "philippines", *_BODIES}


def country(name: str) -> str:
    """A country in a sentence: "the Harbour Board of Halvern", "the Ouran Islands"."""
    land, comma, body = name.partition(", ")
    if comma and "," not in body and body.split()[-1:] and body.split()[-1].lower() in _BODIES:
        return f"the {body.removeprefix('the ').removeprefix('The ')} of {land}"
    last = name.split()[-1].lower() if name.split() else ""
    return f"the {name}" if last in _WITH_THE and not name.startswith("The ") else name


_PLAN = {"coins", "series", "coinage", "issue", "issues", "sides"}


def series_of(name: str) -> str:
    """A series after "of": "the Reform series", "the Circulating coins"."""
    said = name if name.lower().startswith("the ") else f"the {name}"
    return said if name.split()[-1:] and name.split()[-1].lower() in _PLAN else f"{said} series"


def of_years(first: int | None, last: int | None) -> str:
    """When: "from 1960 to 1985", "in 1946"; "" when nothing is known."""
    if first is None or last is None:
        known = first if first is not None else last
        word = "from" if first is not None else "until"
        return f"{word} {year_text(known)}" if known is not None else ""
    if first == last:
        return f"in {year_text(first)}"
    if last == first + 1:
        return f"in {year_text(first)} and {year_text(last)}"
    return f"from {year_text(first)} to {year_text(last)}"


def by_clock(place: Decimal) -> str:
    """A place by the clock with its hours in words, "three o'clock"."""
    return re.sub(r"\d+", lambda found: number(int(found[0])), clock_text(place))


_VOWEL_LETTERS = set("AEFHILMNORSX")


def letter(text: str) -> str:
    """A mark with its article where it is one letter or a word in small letters.

    >>> letter("S"), letter("D"), letter("h"), letter("star"), letter("T.F.")
    ('an S', 'a D', 'a small h', 'a star', 'T.F.')
    """
    if len(text) == 1 and text.islower():
        return f"a small {text}"
    if len(text) == 1 and text.isascii() and text.isupper():
        return f"an {text}" if text in _VOWEL_LETTERS else f"a {text}"
    return a(text) if text[:1].islower() else text


def figures(shown: str) -> str:
    """A date in figures of whatever script in those of ours; "" where it is anything else.

    >>> figures("١٣٥٠"), figures("1970"), figures("MCMLXX")
    ('1350', '1970', '')
    """
    digits = [unicodedata.decimal(char, None) for char in shown]
    return "" if None in digits else "".join(map(str, digits))


# ---- sentences ----
_ARTICLES = {"a", "an", "the", "two", "three", "four", "each", "large", "small", "both"}
_NOUNS = {
    "bird", "bust", "coat", "cross", "crown", "date", "face", "figure", "head", "map", "name",
    "numeral", "portrait", "profile", "ship", "shield", "tree", "value", "view", "wreath",
}  # fmt: skip


def following(text: str, names: Iterable[str] = ()) -> str:
    """A description after "on the obverse": with a comma and a small letter where it begins with a
    common noun (one of ``names``, such as its motifs, or one that is known), else after a colon.

    >>> following("The arms, the date below"), following("Lighthouse on a rock", ["lighthouse"])
    (', the arms, the date below', ', a lighthouse on a rock')
    >>> following("Columns of water"), following("Queen Maren on a horse")
    (', columns of water', ': Queen Maren on a horse')
    """
    first = re.split(r"[\s,.;]", text, maxsplit=1)[0]
    small = first.lower()
    said = text[:1].lower() + text[1:]
    if small in _ARTICLES:
        return f", {said}"
    heads = {name.split()[0] for name in names if name.split()}
    nouns = _NOUNS | {word for word in heads if word.islower()}
    if small in nouns or (small.endswith("s") and text.startswith(f"{first} of ")):
        return f", {said if is_plural(small) else a(said)}"
    if small in {word for name in names for word in name.split()}:
        return f", {said}"
    return f": {text}"


def sentence(text: str) -> str:
    """A text with a capital first and a stop last."""
    text = text.strip()
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?", ".”", "!”", "?”")) else f"{text}."


def some(name: str) -> str:
    """A thing that was not spoken of yet: "a net", "the arms of Halvern".

    >>> some("net"), some("arms of Halvern"), some("wreath of kelp"), some("twelve stars")
    ('a net', 'the arms of Halvern', 'a wreath of kelp', 'twelve stars')
    """
    return the(name) if is_plural(name) and re.search(r" of [A-Z]", name) else a(name)


def this(name: str) -> str:
    """A thing that is known: "the net", "the Lincoln Memorial", "Abraham Lincoln".

    >>> this("net"), this("arms"), this("Lincoln Memorial"), this("twelve stars")
    ('the net', 'the arms', 'the Lincoln Memorial', 'the twelve stars')
    """
    bare = name[:1].isupper() and not name.endswith(("Memorial", "Monument"))
    return name if bare else f"the {name}"


def are(names: Sequence[str], one: str = "was", many: str = "were") -> str:
    """The verb for some things: "the net was", "arms were".

    >>> are(["net"]), are(["arms of Halvern"]), are(["net", "gull"])
    ('was', 'were', 'were')
    """
    return many if len(names) != 1 or is_plural(names[0]) else one


def metal(name: str) -> str:
    """A metal as it is said: a fineness is in thousandths.

    >>> metal("silver 500"), metal("bronze")
    ('silver of 500 thousandths', 'bronze')
    """
    return re.sub(r"\b(gold|silver|platinum|palladium) (\d{3})\b", r"\1 of \2 thousandths", name)


def aloud(text: str) -> str:
    """A recorded text as far as it is for listeners: what it says of its own source is left out.

    >>> aloud("The stars of the flag. The years are from memory.")
    'The stars of the flag.'
    >>> aloud("In use from 1999 (from memory).")
    'In use from 1999.'
    """
    text = re.sub(r"\s*\(from memory\)", "", " ".join(text.split()))
    parts = re.split(r"(?<=[.!?]) (?=[A-Z“])", text)
    return " ".join(part for part in parts if not re.search(r"\bfrom memory\b", part, re.I))


def either(names: Iterable[str]) -> str:
    """Names of which it is one: "S for Saltmouth or D for Dunhead"."""
    return listed(names, last="or")


def bare_length(value: Decimal) -> str:
    """A length after another one that was said with its unit.

    >>> bare_length(Decimal("21.00")), bare_length(Decimal("19.05"))
    ('twenty-one', 'about nineteen')
    """
    if value < 1:
        return plain(value)
    about = f"about {times(Fraction(round(value * 2), 2))}"
    return about if value * 4 % 1 else times(Fraction(value))
