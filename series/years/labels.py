"""Words around a date that name its calendar, or only say that it is a year.

What is computed: a tidied text (compatibility forms opened, marks of writing direction, vowel
points and tatweel dropped, capitals), the calendars that words in it name, and what is left when
those words are taken out. The words are those met on coins and tickets; common practice, no
source.

>>> take_labels(tidy("AH 1389")), take_labels(tidy("١٣٨٩ هـ"))
((('hijri',), '1389'), (('hijri',), '١٣٨٩'))
>>> take_labels(tidy("昭和四十三年")), take_labels(tidy("พ.ศ. ๒๕๑๐"))
((('showa',), '四十三'), (('buddhist',), '๒๕๑๐'))
>>> take_labels(tidy("年八治明")), take_labels(tidy("L'an 2"))
((('meiji',), '八'), (('republican',), '2'))
"""

from __future__ import annotations

import re
import unicodedata

from series.years.calendars import TABLE
from series.years.eras import ERAS

_DROPPED = re.compile(
    "[\u00ad\u061c\u0640\u064b-\u065f\u0670\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff"
    "\u0591-\u05bd\u05bf\u05c1\u05c2\u05c4\u05c5\u05c7]"
)


def tidy(text: str) -> str:
    """The text in one plain form: NFKC, no direction marks or vowel points, in capitals."""
    text = _DROPPED.sub("", unicodedata.normalize("NFKC", text))
    text = text.replace("؟", "?").upper()
    text = " ".join(text.split())
    return text[::-1] if text.startswith("年") else text


def _latin(*words: str) -> str:
    """Any of some words in Latin letters, standing alone; stops between letters as you like."""
    spelled = "|".join(words)
    return rf"(?<![A-Z.])(?:{spelled})(?![A-Z])\.?"


def _initials(letters: str) -> str:
    return r"\.?\s?".join(letters)


def _apart(letters: str) -> str:
    """Letters that no other letters touch, while figures may."""
    return rf"(?<![^\W\d]){letters}\.?(?![^\W\d])"


_NAMES = "|".join(
    re.escape(name.upper()).replace(r"\-", r"[- ]") for name in sorted(TABLE, key=len, reverse=True)
)
_ERA_SIGNS = {signs: (name,) for name, era in ERAS.items() for signs in era.signs}

_LABELS: list[tuple[str, tuple[str, ...]]] = [
    (_apart(r"ه\s?[.-]?\s?ش") + r"|شمس[يی]|" + _apart("ش"), ("solar-hijri",)),
    (_apart(r"ه\s?[.-]?\s?ق") + r"|قمر[يی]|هجر[يی][ةه]?|" + _apart("ه"), ("hijri",)),
    (r"شاهنشاه[يی]", ("shahanshahi",)),
    (r"م[يی]لاد[يی][ةه]?|" + _apart("م"), ("civil",)),
    (r"พ\.?\s?ศ\.?|พุทธศักราช|佛曆|佛历", ("buddhist",)),
    (r"ร\.?\s?ศ\.?|รัตนโกสินทรศก", ("rattanakosin",)),
    (r"ค\.?\s?ศ\.?|คริสต์ศักราช|西暦|西曆|西元|公元|서기", ("civil",)),
    (r"จ\.?\s?ศ\.?|จุลศักราช", ("chula",)),
    (r"वि\.?\s?सं?\.?|विक्रम|संवत्?", ("vikram",)),
    (r"शके|शक", ("saka",)),
    (r"ዓ\.?ም\.?|ዓመተ\s?ምሕረት", ("ethiopian",)),
    (r"(?:中華|中华)?(?:民國|民国)", ("minguo",)),
    (r"檀君紀元|檀紀|단기", ("dangi",)),
    (_latin(r"L['’]?\s?AN", "AN") + r"|DE LA R[ÉE]PUBLIQUE\.?", ("republican",)),
    (_latin("ANNO HEGIRAE", _initials("AH"), "H"), ("hijri",)),
    (_latin(_initials("SH")), ("solar-hijri",)),
    (_latin(_initials("BE")), ("buddhist",)),
    (_latin(_initials("RS")), ("rattanakosin",)),
    (_latin(_initials("CS")), ("chula",)),
    (_latin("ANNO MUNDI", _initials("AM")), ("hebrew", "coptic")),
    (_latin("VIKRAM SAMVAT", "SAMVAT", _initials("VS")), ("vikram",)),
    (_latin(_initials("SE")), ("saka",)),
    (_latin(_initials("EE")), ("ethiopian",)),
    (_latin(_initials("OS"), "OLD STYLE"), ("julian",)),
    (_latin("ANNO DOMINI", _initials("AD"), _initials("CE")), ("civil",)),
    *((signs, names) for signs, names in _ERA_SIGNS.items()),
]  # fmt: skip
_NEUTRAL = r"年製|年造|年|大日本|大韓|大清|سن[ةه]|سال|عام|ปี|सन्?|ዓመት|שנת|" + _latin(
    "ANNO", "YEAR", "DATE", "ANNEE", "ANNÉE", "JAHR"
)
_COMPILED = [(re.compile(pattern), names) for pattern, names in _LABELS]
_NAMED = re.compile(rf"(?<![A-Z])(?:{_NAMES})(?![A-Z])")
_PLAIN = re.compile(_NEUTRAL)


def take_labels(text: str) -> tuple[tuple[str, ...], str]:
    """The calendars that words of a tidied text name, and the text without those words."""
    named: list[str] = []
    for match in _NAMED.findall(text):
        named.append(match.lower().replace(" ", "-"))
    text = _NAMED.sub(" ", text)
    for pattern, names in _COMPILED:
        left = pattern.sub(" ", text)
        if left != text:
            named += [name for name in names if name not in named]
            text = left
    left = " ".join(_PLAIN.sub(" ", text).split())
    return tuple(named), left.strip(" ,;:()[]")
