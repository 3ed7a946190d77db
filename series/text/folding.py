"""Fold a legend, a name or a note into the form in which two of them are compared.

What is computed: a lower-case text in which the differences that coins and their
describers do not mind are gone. Plain text in, plain text out; no units.

Rules (common practice for legends, no source, except where a standard is named):

* Unicode compatibility decomposition (NFKD, Unicode Standard Annex 15), accents off, case
  folded; ligatures opened (Æ is AE, Œ is OE, ß is SS, ﬁ is FI), barred letters plain
  (Ø is O, Ł is L).
* V is U and J is I, as on coins.
* Stops, stars, bullets, dashes, hyphens and other signs part words; words stand one space
  apart. Apostrophes vanish (O'BRIEN is OBRIEN). Currency signs stay.
* Other scripts stay. Arabic loses its vowel points and tatweel, and the forms of alef, yeh,
  kaf and heh become one each; Hebrew loses its points and gershayim. Decimal digits of any
  script become 0 to 9.

Folding twice changes nothing, and the folded form holds neither a NUL nor any of the
wildcards ``%`` and ``_`` of SQL, so the same stored column serves every database.

>>> fold("GEORGIVS·V·DEI·GRA: BRITT: OMN: REX")
'georgius u dei gra britt omn rex'
>>> fold("Curaçao — 2½ cents") == fold("CVRACAO 2 1/2 CENTS")
True
>>> fold("المَملَكة ١٣٨٩")
'المملكه 1389'
"""

from __future__ import annotations

import re
import unicodedata

# Letters that Unicode does not decompose, in lower case (case is folded first).
_OPENED = {
    "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ħ": "h",
    "ŧ": "t", "ı": "i", "ƶ": "z",
}  # fmt: skip
_AS_ON_COINS = {"v": "u", "j": "i"}
_ARABIC = {
    "ٱ": "ا", "ى": "ي", "ی": "ي", "ې": "ي", "ے": "ي", "ک": "ك", "ڪ": "ك",
    "ة": "ه", "ہ": "ه", "ھ": "ه", "ە": "ه", "ـ": "",
}  # fmt: skip
_LETTERS = str.maketrans(_OPENED | _AS_ON_COINS | _ARABIC)

# Apostrophes, primes and the Hebrew geresh and gershayim: inside a word, not between words.
_APOSTROPHES = dict.fromkeys(map(ord, "'`´‘’‛ʹʻʼʽˈ′＇׳״"))
_QUOTE_AS_GERSHAYIM = re.compile('(?<=[א-ת])["“”](?=[א-ת])')

# Accents proper, by block. Marks of other scripts (Devanagari vowels, the voicing marks of
# kana) are letters in all but name and stay.
_ACCENTS = (
    (0x0300, 0x036F), (0x0483, 0x0489), (0x0591, 0x05C7), (0x0610, 0x061A), (0x064B, 0x065F),
    (0x0670, 0x0670), (0x06D6, 0x06DC), (0x06DF, 0x06E4), (0x06E7, 0x06E8), (0x06EA, 0x06ED),
    (0x0711, 0x0711), (0x0730, 0x074A), (0x1AB0, 0x1AFF), (0x1DC0, 0x1DFF), (0x20D0, 0x20FF),
    (0xFE00, 0xFE0F), (0xFE20, 0xFE2F), (0xE0100, 0xE01EF),
)  # fmt: skip


def _is_accent(char: str) -> bool:
    point = ord(char)
    return unicodedata.category(char) in ("Mn", "Me") and any(a <= point <= b for a, b in _ACCENTS)


def _decompose(text: str) -> str:
    """NFKD, but a vulgar fraction stands apart from the number before it (2½ is 2 1⁄2)."""
    pieces = []
    for char in text:
        opened = unicodedata.normalize("NFKD", char)
        pieces.append(f" {opened} " if len(char) == 1 and "\u2044" in opened else opened)
    return unicodedata.normalize("NFKD", "".join(pieces))


def _plain(char: str) -> str:
    """What one decomposed, case-folded character becomes."""
    if _is_accent(char):
        return ""
    digit = unicodedata.decimal(char, None)
    if digit is not None:
        return str(digit)
    category = unicodedata.category(char)
    if category == "Cf":  # direction marks, soft hyphens, joiners
        return ""
    if category[0] in "LMN" or category == "Sc":
        return char
    return " "


# What the rules make of each letter and sign of ASCII, for texts that hold nothing else.
_OF_ASCII = {
    point: None if chr(point) in "'`" else chr(point).lower() if chr(point).isalnum() else " "
    for point in range(128)
} | {ord("$"): "$"}
_OF_ASCII |= {ord(letter): plain for letter, plain in zip("vVjJ", "uuii", strict=True)}


def fold(text: str) -> str:
    """The matching form of ``text``: lower case, words one space apart, maybe empty."""
    if text.isascii():
        return " ".join(text.translate(_OF_ASCII).split())
    text = _QUOTE_AS_GERSHAYIM.sub("", text.translate(_APOSTROPHES))
    # Accents go before case folding: an iota below would otherwise become a letter.
    text = "".join(char for char in _decompose(text) if not _is_accent(char))
    text = _decompose(text.casefold()).translate(_APOSTROPHES).translate(_LETTERS)
    text = "".join(map(_plain, text))
    return " ".join(unicodedata.normalize("NFC", text).split())
