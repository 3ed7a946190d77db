"""How far the cells of a column look like what each field holds.

Computed: for a column's cells a mark from -1 (nothing of the kind) to 1 (hardly anything else) for
each field that its cells can tell; a field whose cells could be any text has none. Each mark rests
on the share of cells that are read as that field, and on what is usual: years that lie within a few
centuries, measures of coins, numbers in a row. Bounds are common practice, no source.

>>> marks = marks_of(("1943", "1951 D", "1967", "ca. 1890"))
>>> max(marks, key=marks.get), marks["date"] > 0.9, marks["country"] < 0
('date', True, True)
>>> marks = marks_of(("2,70 €", "12,- €", "1.234,00 €"))
>>> max(marks, key=marks.get)
'price'
>>> marks = marks_of(("4", "4", "1"))
>>> marks["quantity"] > marks["grade"] > marks["date"]
True
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from decimal import Decimal
from itertools import pairwise

from catalogue.importing.reading import countries, figures
from catalogue.importing.reading.coin_dates import read_coin_date
from catalogue.importing.reading.combined import split_coin
from catalogue.importing.reading.evidence import metals_in
from catalogue.importing.reading.grade_words import HABITS, read_grade
from catalogue.importing.reading.rows import DITTO
from catalogue.importing.reading.unit_words import UNITS
from catalogue.importing.reading.values import read_value
from series.text.folding import fold

MOST = 150
_MORE_METALS = (
    "acmonital|alpacca|bi|bil|billon|bimetal|bimetall|bimetallic|bimetallico|bimetallique|"
    "br|bronse|bronzital|cual|italma|me|metall|mistura|ms|pb|potin|sn|vellon|virenium|zamak"
)
_METAL_WORDS = frozenset(map(fold, _MORE_METALS.split("|")))
_FILE = re.compile(r"[^\n]{1,200}\.(?:jpe?g|png|webp|tiff?|gif|bmp|heic)", re.IGNORECASE)
_REFERENCE = re.compile(
    r"(?:[A-Z][A-Za-z]{0,10}\.?\s?#?\s?(?:Nr\.?|no\.?)?\s?\d{1,4}[a-z]?(?:[./-]\d{1,3}[a-z]?)?)(?:\s*[,;/]\s*.*)?"
)
_ACCESSION = re.compile(r"[A-Za-zÄÖÜ]{0,6}[\s./-]?(?:\d{1,4}[./-])?\d{1,6}[a-z]?")
_MARKS = re.compile(r"[A-Z]{1,2}|[A-Z][a-z]|[A-Z]/[A-Z]|[A-ZÅÖÄ][a-zåöäéü]{4,14}(?: [A-Z][a-z]+)?")
_SMALL_OR_LARGE = re.compile(rf"[a-z]|{_MARKS.pattern}")
_NUMBER = re.compile(r"\d{1,4}(?:[.,]\d{1,3})?")

_USUAL = {"1", "2", "2.5", "3", "4", "5", "6", "7.5", "8", "1.5", "12", "15", "24", "25", "48"}
_PLACES_SAID = (
    "aeske|alb|album|ask|bag|bandeja|binder|blad|blatt|boite|box|bte|busta|bx|cabinet|"
    "caixa|caja|cajon|case|cassetto|classeur|doos|dose|dr|drawer|eske|fach|fack|feuille|"
    "foglio|folder|folha|gaveta|hoja|karta|karton|kasten|kiste|klaser|lada|lade|låda|map|"
    "mappe|ordner|p|pag|page|pagina|parm|perm|plateau|pochette|pocket|pudelko|pudełko|pärm|"
    "raccoglitore|row|s|safe|scat|scatola|schachtel|schublade|seite|sheet|shelf|sida|side|"
    "skuff|skuffe|strona|szuflada|tableau|tasche|tin|tiroir|tray|vak|vassoio|vel|æske"
)
_PLACES = frozenset(_PLACES_SAID.split("|"))

Share = Callable[[str], bool]


def marks_of(texts: Sequence[str]) -> dict[str, float]:
    """The mark of each field for the cells of a column; nothing where it is empty."""
    cells = [text.strip() for text in texts if text.strip()][:MOST]
    cells = [text for text in cells if not DITTO.fullmatch(text)] or cells
    if not cells:
        return {}
    marks = {name: _mark(_share(cells, test)) for name, test in _TESTS.items()}
    marks["country"] = max(marks["country"], _mark(_share([*{*cells}], _is_country)))
    marks["grade"] = _mark(max(_share(cells, _graded(habit)) for habit in HABITS))
    priced = [text for text in cells if any(map(str.isdigit, text))]
    if 2 * len(priced) > len(cells):  # beside words such as "gift"
        marks["price"] = _mark(_share(priced, _is_price))
    if _share(cells, lambda text: len(text) == 1) > 0.5:
        marks["country"] = -1.0  # letters alone are marks of mints rather than of vehicles
    if 0.5 < (marks["mint_mark"] + 1) / 2 < 1:  # small letters among large ones are marks too
        marks["mint_mark"] = _mark(_share(cells, lambda t: bool(_SMALL_OR_LARGE.fullmatch(t))))
    _temper(marks, cells)
    if _share(cells, _has_usual_number) < 0.7 or _share(cells, is_to_the_cent) > 0.5:
        marks["denomination"] = min(marks["denomination"], 0.2)
    elif marks["denomination"] > 0.6:
        marks["price"] = marks["worth"] = min(marks["price"], 0.5)
    return marks


def is_to_the_cent(text: str) -> bool:
    """Whether an amount has two decimals, as prices do and values of coins hardly ever."""
    return re.search(r"\d[.,](?:\d\d(?!\d)|\s?[-–—])", text) is not None


def _has_usual_number(text: str) -> bool:
    """Whether a value is one that coins have: 1, 2, 2½, 3, 4, 5, 6, 8, and tens of these."""
    number = read_value(text).number
    return number is None or number < 1 or str(float(number)).rstrip("0.") in _USUAL


def _share(cells: Sequence[str], test: Share) -> float:
    return sum(map(test, cells)) / len(cells)


def _mark(share: float) -> float:
    return round(2 * share - 1, 3)


def _temper(marks: dict[str, float], cells: Sequence[str]) -> None:
    """Bare numbers are many things: each is weighed by what is usual of it."""
    numbers = [Decimal(t.replace(",", ".")) for t in cells if _NUMBER.fullmatch(t)]
    bare = len(numbers) / len(cells)
    if bare > 0.6:
        whole = all(number == int(number) for number in numbers)
        distinct = len({*cells}) / len(cells)
        rising = all(a < b for a, b in pairwise(numbers)) and len(numbers) > 2
        marks["accession"] = 0.7 if rising and whole else 0.2 if whole and distinct == 1 else -0.6
        marks["quantity"] = min(
            marks["quantity"], 0.4 if _nearly_all(numbers, 20) and not rising else -0.5
        )
        marks["price"] = min(marks["price"], 0.1 if not whole else -0.1)
        usual = _share(cells, _has_usual_number) > 0.9
        marks["denomination"] = 0.15 if usual else -0.3 if distinct > 0.7 else -0.1
        marks["reference"] = max(marks["reference"], -0.2)
        marks["coin"] = -1.0
        if all(figures.read_quantity(text) for text in cells) and "01" not in cells:
            marks["grade"] = min(marks["grade"], 0.3)
        else:
            marks["quantity"] = min(marks["quantity"], 0.2)
        _temper_measures(marks, numbers, whole)
    else:
        for name in ("diameter", "mass", "thickness"):
            marks[name] = min(marks[name], 0.9)
    marks["worth"] = marks["price"]


def _nearly_all(numbers: Sequence[Decimal], most: int) -> bool:
    """Whether hardly a number is above this; the sum below a column may be."""
    return sum(number > most for number in numbers) * 20 <= len(numbers)


def _temper_measures(marks: dict[str, float], numbers: Sequence[Decimal], whole: bool) -> None:
    bounds = {"diameter": (9, 60), "mass": (0.3, 60), "thickness": (0.5, 5)}
    for name, (low, high) in bounds.items():
        within = sum(low <= number <= high for number in numbers) / len(numbers)
        marks[name] = min(marks[name], (0.3 if within > 0.95 else -0.6) - (0.4 if whole else 0))
    marks["alignment"] = min(marks["alignment"], 0.3 if {*numbers} <= {6, 12, 0, 180} else -0.4)


def _graded(habit: str) -> Share:
    def test(text: str) -> bool:
        read = read_grade(text, habit)
        return read is not None and len(read.left) < 12

    return test


def _is_country(text: str) -> bool:
    return len(text) < 50 and (countries.is_usual(text) or countries.is_nearly(text))


def _is_date(text: str) -> bool:
    read = read_coin_date(text) if len(text) <= 24 else None
    return read is not None and len(read[1]) <= 2 and not _is_day(text)


def _is_day(text: str) -> bool:
    return (
        figures.read_day(text) is not None
        or re.fullmatch(
            r"\d{1,2}[./-](?:19|20)\d\d|[^\W\d]{3,10}\.? (?:19|20)\d\d|(?:19|20)\d\d-\d\d", text
        )
        is not None
    )


def _is_value(text: str) -> bool:
    value = read_value(text)
    return bool(value.units) and len(value.words) <= 2 and read_coin_date(text) is None


def _is_coin(text: str) -> bool:
    parts = split_coin(text, "british")
    said = (parts.date is not None or parts.country is not None) and not _is_day(text)
    return parts.value is not None and said


def _is_price(text: str) -> bool:
    return any(figures.read_price(text, ",", language) for language in ("de", "sv"))


def _is_measured(unit: str) -> Share:
    return lambda text: figures.read_measure(text, ",", unit) is not None


def _is_metal(text: str) -> bool:
    words = fold(re.sub(r"[\d.,%/]+", " ", text)).split()
    return bool(metals_in(text, alone=True)) or any(word in _METAL_WORDS for word in words)


def _is_place(text: str) -> bool:
    words = [word.strip(".:,") for word in text.lower().split()]
    return len(text) < 40 and any(re.sub(r"\d+$", "", word) in _PLACES for word in words[:1])


def _is_unit(text: str) -> bool:
    return fold(text) in UNITS or bool(
        re.fullmatch("[A-Z]{3}", text) and figures.read_currency(text, "")
    )


_TESTS: dict[str, Share] = {
    "country": _is_country,
    "date": _is_date,
    "acquired_on": _is_day,
    "denomination": _is_value,
    "coin": _is_coin,
    "price": _is_price,
    "quantity": lambda text: figures.read_quantity(text) is not None,
    "diameter": _is_measured("mm"),
    "mass": _is_measured("g"),
    "thickness": _is_measured("mm"),
    "alignment": lambda text: figures.read_alignment(text) is not None,
    "metal": _is_metal,
    "currency": _is_unit,
    "price_currency": lambda text: bool(figures.read_currency(text, "")),
    "picture": lambda text: _FILE.fullmatch(text) is not None,
    "obverse_picture": lambda text: _FILE.fullmatch(text) is not None,
    "reverse_picture": lambda text: _FILE.fullmatch(text) is not None,
    "mint_mark": lambda text: _MARKS.fullmatch(text) is not None,
    "reference": lambda text: _REFERENCE.fullmatch(text) is not None and not _is_place(text),
    "accession": lambda text: _ACCESSION.fullmatch(text) is not None,
    "place": _is_place,
    "note": lambda text: sum(map(str.isalpha, text)) > 0.6 * len(text),
    "spare": lambda text: figures.read_yes(text) is not None,
    "status": lambda text: fold(text) in figures.STATUSES,
    "visibility": lambda text: fold(text) in figures.VISIBILITIES,
}
