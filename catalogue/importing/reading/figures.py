"""Measures, prices, counts, days and plain answers as they stand in the cells of lists.

Computed: ``Decimal`` mm, g and amounts of money with the code of ISO 4217, whole numbers, days,
yes and no, and the choices of a holding. Each reader takes one text and gives None for what it
cannot read wholly. Names of months and codes of currencies come from the Unicode Common Locale Data
Repository, by babel; the other words are common usage, no source.

>>> read_price("5,– Kr.", ",", "sv"), read_price("1.234,50 €", ",", "de")
((Decimal('5'), 'SEK'), (Decimal('1234.50'), 'EUR'))
>>> read_measure("21,5 mm", ",", "mm"), read_measure("2.5 cm", ".", "mm")
(Decimal('21.5'), Decimal('25'))
>>> read_day("20.03.2004"), read_day("3/20/2004", "mdy"), read_day("5 mars 1998"), read_day("1998")
(datetime.date(2004, 3, 20), datetime.date(2004, 3, 20), datetime.date(1998, 3, 5), None)
>>> read_quantity("1+1"), read_quantity("3 Stück"), read_alignment("180°"), read_yes("ja")
(2, 3, Decimal('6'), True)
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache

from babel import Locale

from catalogue.holdings.finding.country_names import LANGUAGES
from catalogue.importing.reading.unit_words import NUMBERS
from series.text.folding import fold

_SIGNS = {"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY", "₤": "ITL", "ƒ": "NLG", "zł": "PLN"}
_MONEY_WORDS = {
    "EUR": "euro|euros|eur|e|teuro|eu",
    "GBP": "pound|pounds|gbp|stg|ukp|pfund",
    "DEM": "dm|mark|marks|deutsche mark|d mark",
    "USD": "dollar|dollars|us$|us dollar|dollari|bucks",
    "CHF": "sfr|fr|chf|franken|stutz|s fr",
    "FRF": "ff|f|francs|franc|frf|frs",
    "ITL": "lit|lire|lira|l",
    "ESP": "pta|ptas|pts|pesetas|peseta",
    "NLG": "hfl|fl|gulden|gld|nlg",
    "BEF": "bef|bfr|bf",
    "ATS": "ös|öschilling|schilling|s|ats",
    "PLN": "zl|zł|zloty|złoty|złotych|pln",
    "CZK": "kč|kc|czk|kcs|korun",
    "HUF": "ft|huf|forint",
    "SEK": "sek|skr",
    "DKK": "dkk|dkr",
    "NOK": "nok|nkr",
    "FIM": "fim|mk|markkaa",
    "CAD": "c$|can$|cdn$",
    "AUD": "a$|au$",
    "JPY": "yen",
}
_MONEY = {fold(w): code for code, words in _MONEY_WORDS.items() for w in words.split("|")}
_CROWNS = {"sv": "SEK", "da": "DKK", "nb": "NOK", "no": "NOK", "cs": "CZK", "en": "SEK"}
_FRANCS = {"fr": "FRF", "de": "CHF", "it": "CHF", "nl": "BEF"}
_PRICE = re.compile(
    r"(?P<before>[^\d\s.,+-][^\d.,+-]*?\.?)?\s*(?P<number>\d[\d.,' \u00a0]*?)"
    r"(?P<dash>[.,]\s?[-–—=]+)?"
    r"\s*(?P<after>[^\d\s.,+-][^\d+-]*)?"
)
_MEASURE = re.compile(r"(?P<number>\d{1,5}(?:[.,]\d{1,4})?)\s*(?P<unit>[^\W\d]*|[\"″])\.?")
_LENGTHS = {"": 1, "mm": 1, "cm": 10, "m m": 1, "millimeter": 1, "mill": 1}
_MASSES = {
    "": 1,
    "g": 1,
    "gr": 1,
    "gm": 1,
    "gms": 1,
    "gram": 1,
    "grams": 1,
    "gramm": 1,
    "grammes": 1,
    "gramme": 1,
    "grammi": 1,
    "gramos": 1,
    "grm": 1,
}
_QUANTITY = re.compile(
    r"(?:[x×*]\s*)?(\d{1,5})\s*(?:[x×*]|st|stk|stck|stück|stuck|stueck|pcs?|pieces?|ex|exx|szt|stuks|pz|ud|uds|"
    r"pièces?|pezzi|piezas?|mal|times|coins?|münzen?|sztuk|sztuki|eks|stycken|styck)?\.?",
    re.IGNORECASE,
)
_YES_SAID = (
    "1|doble|doppel|doppelt|doppio|double|doublon|dubbel|dubbelt|dublet|dublett|duplikat|"
    "for trade|j|ja|o|ok|oui|s|si|sim|spare|swap|t|tak|tausch|true|vrai|wahr|x|y|yes|"
    "zum tausch|✓|✔|✗x"
)
_YES = frozenset(_YES_SAID.split("|"))
_NO_SAID = "-|0|falsch|false|faux|keine|n|nee|nei|nein|nej|nie|no|non|–|—"
_NO = frozenset(_NO_SAID.split("|"))
_ALIGNMENTS = {
    "↑↓": 6,
    "↑↑": 12,
    "⇅": 6,
    "⇈": 12,
    "medal": 12,
    "coin": 6,
    "medal alignment": 12,
    "medaille": 12,
    "coin alignment": 6,
    "kehrprägung": 6,
    "wendeprägung": 12,
    "frappe monnaie": 6,
    "monnaie": 6,
    "frappe medaille": 12,
    "médaille": 12,
    "munt": 6,
    "medal turn": 12,
    "coin turn": 6,
    "kopf": 6,
}
_STATUS_WORDS = {
    "held": (
        "held|kept|in collection|vorhanden|behalten|have|own|owned|da|behouden|aanwezig|en "
        "collection|ja|yes|collection|bestand|w kolekcji|posiadam|i samlingen|in collezione|"
        "en colección"
    ),
    "on_loan": (
        "on loan|lent|verliehen|ausgeliehen|prêté|prete|prestado|prestato|uitgeleend|utlånad|"
        "udlånt|utlånt|wypożyczone|loan"
    ),
    "sold": (
        "sold|verkauft|vendu|vendue|vendido|vendida|venduto|venduta|verkocht|såld|solgt|"
        "sprzedane|sprzedana|sprzedany|vk|abgegeben"
    ),
    "swapped": (
        "swapped|traded|exchanged|getauscht|vertauscht|échangé|echangee|cambiado|"
        "intercambiado|scambiato|geruild|bytt|byttet|wymienione|trocado"
    ),
    "given": (
        "given|given away|gift|verschenkt|donné|donne|offert|regalado|regalato|weggegeven|"
        "bortskänkt|foræret|gitt|oddane|oferecido"
    ),
    "lost": (
        "lost|missing|verloren|verlust|perdu|perdida|perdido|perso|smarrito|kwijt|förlorad|"
        "mistet|zgubione|verlegt|gestohlen|stolen|tapt"
    ),
}
_VISIBILITY_WORDS = {
    "private": "private|only me|privat|nur ich|privé|privado|privato|prywatne|niemand|nobody",
    "club": "club|the club|verein|members|mitglieder|association|vereniging|förening|klub|klubb",
    "public": (
        "public|everyone|öffentlich|alle|publiek|público|pubblico|publik|offentlig|publiczne|"
        "tous|everybody"
    ),
}


def _table(words: dict[str, str]) -> dict[str, str]:
    return {fold(each): name for name, line in words.items() for each in line.split("|")}


STATUSES, VISIBILITIES = _table(_STATUS_WORDS), _table(_VISIBILITY_WORDS)


@lru_cache(maxsize=50_000)
def read_price(text: str, decimal: str, language: str) -> tuple[Decimal, str] | None:
    """An amount and the code of its currency, "" where none is said; None for no amount."""
    said = re.sub(r"(?<=\d):(?=\d\d(?!\d)|\s?[-–—])", ",", text.strip()[:60])
    if pence := re.fullmatch(r"(\d{1,2})\s?p", said):
        return Decimal(pence[1]) / 100, "GBP"
    match = _PRICE.fullmatch(said)
    if match is None:
        return None
    amount = read_number(match["number"], decimal)
    words = [
        word.strip() for word in (match["before"], match["after"]) if word and word.strip(" -–")
    ]
    codes = [read_currency(word, language) for word in words]
    if amount is None or len(words) > 1 or "" in codes:
        return None
    return amount, codes[0] if codes else ""


def read_number(text: str, decimal: str) -> Decimal | None:
    """A number whose thousands may be parted; the last sign counts where both stand."""
    said = re.sub(r"[\s'\u00a0]", "", text).rstrip(".,")
    last = max(said.rfind("."), said.rfind(","))
    if last >= 0:
        sign, places = said[last], len(said) - last - 1
        thousands = said.count(sign) > 1 or (places == 3 and sign != decimal and last <= 3)
        whole = re.sub(r"[.,]", "", said[:last])
        said = re.sub(r"[.,]", "", said) if thousands else f"{whole}.{said[last + 1 :]}"
    if not re.fullmatch(r"\d{1,12}(?:\.\d{1,6})?", said):
        return None
    return Decimal(said)


@lru_cache(maxsize=5_000)
def read_currency(text: str, language: str) -> str:
    """The code of the currency that a sign, a code or a word names; "" for none."""
    said = text.strip().rstrip(".")
    if said.upper() in _codes():
        return said.upper()
    if said in _SIGNS:
        return _SIGNS[said]
    folded = fold(said)
    if folded in ("kr", "kroner", "kronor", "kronen", "krone", "krona"):
        return _CROWNS.get(language, "")
    if folded in ("fr", "francs", "franc", "franken"):
        return _FRANCS.get(language, "CHF")
    if folded == "l" and language == "en":
        return "GBP"
    return _MONEY.get(folded, "")


@cache
def _codes() -> frozenset[str]:
    return frozenset(map(str, Locale("en").currencies))


@lru_cache(maxsize=50_000)
def read_measure(text: str, decimal: str, unit: str) -> Decimal | None:
    """A length in mm or a mass in g, from what is written in that unit, or a length in cm."""
    match = _MEASURE.fullmatch(text.strip())
    if match is None:
        return None
    factor = (_LENGTHS if unit == "mm" else _MASSES).get(match["unit"].lower())
    if factor is None:
        return None
    number = match["number"].replace(",", ".")
    return Decimal(number) * factor if factor == 1 else (Decimal(number) * factor).normalize()


def read_alignment(text: str) -> Decimal | None:
    """Hours by the clock, of the reverse when the obverse stands upright and is turned about."""
    said = text.strip().lower().replace(" ", "") if "↑" in text else text.strip().lower()
    if said in _ALIGNMENTS:
        return Decimal(_ALIGNMENTS[said])
    if match := re.fullmatch(r"(\d{1,3})\s*(?:°|deg|grad|degrees)", said):
        hours = Decimal(int(match[1])) / 30
        return (hours or Decimal(12)).normalize() if hours <= 12 else None
    if match := re.fullmatch(r"(\d{1,2})\s*(?:h|uhr|o'?clock|hours?|heures?|u|:00)?\.?", said):
        return Decimal(match[1]) if 1 <= int(match[1]) <= 12 else None
    return None


def read_quantity(text: str) -> int | None:
    """How many pieces; None for nought and for anything else."""
    if match := re.fullmatch(r"(\d{1,3})\s*\+\s*(\d{1,3})", text.strip()):
        return int(match[1]) + int(match[2]) or None
    match = _QUANTITY.fullmatch(text.strip())
    return int(match[1]) or None if match else None


_OF_PIECES = (
    r"(?:stücke?|stck|stk|st|pcs|pieces|coins|of (?:these|those|them)|exemplare?|exemplaires|"
    r"exemplaren|pièces|pezzi|pz|piezas|monedas|ejemplares|unidades|uds|stycken|styck|stuks|"
    r"sztuki?|szt|peças|ex)\.?"
)
_PIECES_SAID = re.compile(
    rf"\W*(?:(?P<number>\d{{1,3}})\s*(?:[x×]|-?(?:fach|mal)|{_OF_PIECES})|"
    rf"(?P<word>[^\W\d]+)\s+{_OF_PIECES}|(?P<times>[^\W\d]+?)(?:fach|mal)|(?P<twice>doppelt|"
    r"dobbelt|dubbelt|twice))\s*(?=$|[,;.:(–-])",
    re.IGNORECASE,
)


def read_pieces(note: str) -> int | None:
    """How many pieces a note says at its beginning; None where it says nothing of it.

    >>> read_pieces("vier Stück, eine durchlöchert"), read_pieces("3fach"), read_pieces("doppelt")
    (4, 3, 2)
    >>> read_pieces("four of these, one bent"), read_pieces("2 sides worn"), read_pieces("zweimal")
    (4, None, 2)
    """
    match = _PIECES_SAID.match(note)
    if match is None:
        return None
    if match["number"]:
        return int(match["number"]) or None
    number = Fraction(2) if match["twice"] else NUMBERS.get(fold(match["word"] or match["times"]))
    return int(number) if number is not None and number > 1 and number.denominator == 1 else None


def read_yes(text: str) -> bool | None:
    said = text.strip().lower()
    folded = fold(said) or said
    if re.fullmatch("[0-9]{1,4}", said):
        return int(said) > 0
    return True if folded in _YES or said in _YES else False if folded in _NO else None


_DAY_PARTS = re.compile(r"(\d{1,4})\s*[./\-–\s]\s*(\d{1,2})\s*[./\-–\s]\s*(\d{2,4})")
_NAMED_DAY = re.compile(
    r"(?P<day>\d{1,2})\.?\s*(?:de\s+)?(?P<month>[^\W\d]{3,12})\.?,?\s*(?:de\s+)?(?P<year>\d{4})"
)
_MONTH_FIRST = re.compile(
    r"(?P<month>[^\W\d]{3,12})\.?\s+(?P<day>\d{1,2})(?:st|nd|rd|th)?,?\s+(?P<year>\d{4})"
)


@lru_cache(maxsize=50_000)
def read_day(text: str, order: str = "dmy") -> date | None:
    """A whole day; ``order`` is "dmy" or "mdy" for what could be either."""
    said = re.sub(r"[ T]\d\d?:\d\d(?::\d\d(?:\.\d+)?)?$", "", text.strip())
    if match := _DAY_PARTS.fullmatch(said):
        first, second, third = match.groups()
        if len(first) == 4:
            return _day(first, second, third)
        if len(first) > 2 or len(third) == 3:
            return None
        day, month = (second, first) if order == "mdy" else (first, second)
        if int(month) > 12 >= int(day):
            day, month = month, day
        return _day(_century(third), month, day)
    for pattern in (_NAMED_DAY, _MONTH_FIRST):
        if match := pattern.fullmatch(said):
            month_number = _months().get(fold(match["month"]))
            return _day(match["year"], str(month_number), match["day"]) if month_number else None
    return None


def _century(year: str) -> str:
    if len(year) == 4:
        return year
    return f"20{year}" if int(year) <= date.today().year % 100 + 1 else f"19{year}"


def _day(year: str, month: str, day: str) -> date | None:
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None


@cache
def _months() -> dict[str, int]:
    found: dict[str, int] = {}
    for language in LANGUAGES:
        months = Locale(language).months
        for form in ("format", "stand-alone"):
            for width in ("wide", "abbreviated"):
                for number, name in months[form][width].items():
                    found.setdefault(fold(str(name)), number)
    return found
