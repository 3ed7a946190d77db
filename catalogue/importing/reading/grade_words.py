"""Grades as they stand in lists of several countries, on the three scales that holdings have.

Computed: for a text and a habit of grading the grade, a range, or grades that may be those of the
two sides. A habit is a scale, or a language whose words for the continental one are others. The
words are set against the continental scale as dealers commonly do: common practice, no source.

>>> read_grade("TTB", "french").grades[0].code, read_grade("ss-vz", "german").kind
('ss', 'range')
>>> read_grade("VF/EF", "british").kind, read_grade("XF45", "american").grades[0].code
('sides', 'EF-45')
>>> read_grade("1+", "nordic").grades[0].code, habit_of(["ss", "vz", "s"])
('ss', 'german')
>>> read_grade("45", "american").grades[0].code, read_grade("1", "american")
('EF-45', None)
>>> read_grade("about VF", "british").grades[0].code, read_grade("vz, Randfehler", "german").left
('NVF', 'Randfehler')
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from catalogue.holdings.grades import SCALES, GradeError, grade
from catalogue.importing.reading.lists import Graded

_CONTINENTAL: dict[str, str] = {
    "german": (
        "ge=ge|gering|gut erhalten;sge=sge|sehr gut erhalten|sg|sehr gut;s=s|schön|schoen|"
        "sch;ss=ss|sehr schön|sehr schoen|s schön|sehr sch;vz=vz|vorzüglich|vorz|vorzuegl|"
        "vorzügl|vzgl;st=st|stgl|stempelglanz|unz|unzirkuliert|bankfrisch|bfr|bf|stg"
    ),
    "french": (
        "ge=ab|assez beau;sge=b|beau|tb-;s=tb|tres beau|très beau;ss=ttb|tres tres beau|très "
        "très beau;vz=sup|superbe|spl-;st=fdc|fleur de coin|spl|splendide|unc|neuve"
    ),
    "italian": (
        "ge=d|discreto;sge=b|bello;s=mb|molto bello;ss=bb|bellissimo;vz=spl|splendido;st=fdc|"
        "fior di conio"
    ),
    "spanish": (
        "ge=mc|rc|regular conservación|regular;sge=rc+|bc-;s=bc|buena conservación|"
        "buena;ss=mbc|muy buena conservación|muy buena|mbela;vz=ebc|excelente|bela|"
        "soberba;st=sc|sin circular|fdc|flor de cuño"
    ),
    "dutch": (
        "ge=g|goed;sge=zg|zeer goed;s=f|fr|fraai;ss=zf|zeer fraai|zfr;vz=pr|prachtig|"
        "pracht;st=fdc|unc|ongecirculeerd"
    ),
    "nordic": "ge=2|3|2-;sge=1?|1-|1 ?;s=1;ss=1+;vz=01|0/01|01/0|1+/01;st=0",
    "polish": "ge=vi|6;sge=v|5;s=iv|4;ss=iii|3;vz=ii|2;st=i|1|menniczy|mennicza",
}
_ALSO_BRITISH = {
    "XF": "EF",
    "BU": "UNC",
    "GOOD": "G",
    "EXTRA FINE": "EF",
    "UNCIRC": "UNC",
    "FAIR": "FR",
}
_ALSO_AMERICAN = {"XF": "EF", "PF": "PR", "UNC": "MS", "BU": "MS", "PROOF": "PR", "FAIR": "FR"}
HABITS = ("british", "american", *_CONTINENTAL)
_NEAR = re.compile(
    r"(?:nearly|near|about|almost|abt\.?|a|n|fast|f\.|presque|p\.|bijna|b\.|quasi|q\.?|casi|ca\.?)[\s.]*",
    re.IGNORECASE,
)
_GOOD = re.compile(
    r"(?:good|g|gutes|besseres|better|bon|beau|mooi)[\s.]+|g(?=VF|EF|F)", re.IGNORECASE
)
_SIDES = re.compile(r"\s*/\s*|\s*\|\s*|\s+\\\s+")
_RANGE = re.compile(r"\s*[-–—]\s*|\s+(?:to|bis|à|a|tot|till|til|do)\s+|\s*~\s*")


@dataclass(frozen=True)
class GradeRead:
    """One grade ("one"), a range, the lower first, or two that may be sides ("sides").

    ``left``: what of the text no grade says. ``whole``: whether the grades say all of the text.
    """

    kind: str
    grades: tuple[Graded, ...]
    left: str = ""
    whole: bool = True


@lru_cache(maxsize=50_000)
def read_grade(text: str, habit: str) -> GradeRead | None:
    """What a text says of a grade, by one habit; None for no grade."""
    said = " ".join(text.split()).strip(" .,;")
    if not said or len(said) > 80:
        return None
    if (one := _one(said, habit)) is not None:
        return GradeRead("one", (one,))
    for pattern, kind in ((_SIDES, "sides"), (_RANGE, "range")):
        parts = pattern.split(said)
        if len(parts) == 2:
            grades = [_one(part, habit) or _loosely(part, habit) for part in parts]
            if grades[0] is not None and grades[1] is not None:
                return GradeRead(kind, (grades[0], grades[1]), "", kind == "sides")
    loose = _loosely(said, habit)
    if loose is not None:
        return GradeRead("one", (loose,), "", False)
    return _with_words(said, habit)


def _with_words(said: str, habit: str) -> GradeRead | None:
    """A grade at the start or the end of a text that goes on about the piece."""
    for pattern in (
        r"(?P<grade>.{1,16}?)\s*[,;(:]\s*(?P<left>.+)",
        r"(?P<grade>\S+)\s+(?P<left>.+)",
    ):
        match = re.fullmatch(pattern, said)
        if match is not None and (inner := read_grade(match["grade"], habit)) is not None:
            return GradeRead(inner.kind, inner.grades, match["left"].strip(" )"), False)
    return None


def _one(said: str, habit: str) -> Graded | None:
    """The grade that exactly these words name."""
    if habit in _CONTINENTAL:
        code = _words(habit).get(_plain(said))
        scale = "continental"
    else:
        also = _ALSO_AMERICAN if habit == "american" else _ALSO_BRITISH
        upper = said.upper().replace(".", "")
        code = re.sub(r"^[A-Z ]+(?=$|[\s-]*\d)", lambda m: also.get(m[0].strip(), m[0]), upper)
        scale = habit
    if code is None:
        return None
    if habit == "american" and re.fullmatch("[0-9]", code):
        return None  # alone it is a grade of the Nordic or Polish scale as well
    if habit == "american" and re.fullmatch("[0-9]{2}", code):
        numbered = [each for each in SCALES["american"] if each.rank == int(code)]
        return Graded(scale, numbered[0].code, numbered[0].rank, said) if numbered else None
    try:
        found = grade(scale, code)
    except GradeError:
        return _qualified(said, habit)
    return Graded(scale, found.code, found.rank, said)


def _qualified(said: str, habit: str) -> Graded | None:
    """About and good grades, which the British scale has."""
    if habit != "british":
        return None
    for pattern, prefix in ((_NEAR, "N"), (_GOOD, "G")):
        match = pattern.match(said)
        if match is not None and match.end() < len(said):
            rest = said[match.end() :].upper().strip(" .-")
            try:
                found = grade("british", prefix + _ALSO_BRITISH.get(rest, rest))
            except GradeError:
                continue
            return Graded("british", found.code, found.rank, said)
    return None


def _loosely(said: str, habit: str) -> Graded | None:
    """A grade with a plus, a minus, a doubt or a word of degree, which no scale here has."""
    bare = re.sub(r"[+?*!-]+$|^[+-]", "", said).strip(" ()")
    if bare != said and bare and (one := _one(bare, habit)) is not None:
        return one
    for pattern in (_NEAR, _GOOD):
        match = pattern.match(said)
        if match is not None and match.end() < len(said) and len(said[match.end() :]) > 0:
            one = _one(said[match.end() :].strip(" .-"), habit)
            if one is not None and (len(match[0]) > 1 or said[0].islower() != said[-1].islower()):
                return one
    return None


@lru_cache(maxsize=16)
def _words(habit: str) -> dict[str, str]:
    found = {}
    for group in _CONTINENTAL[habit].split(";"):
        code, _equals, words = group.partition("=")
        found.update({_plain(word): code for word in words.split("|")})
    return found


def _plain(said: str) -> str:
    return re.sub(r"[\s.]+", " ", said.casefold()).strip().replace(". ", " ")


PRIOR = {"de": "german", "fr": "french", "it": "italian", "es": "spanish", "pt": "spanish",
          "nl": "dutch", "sv": "nordic", "da": "nordic", "nb": "nordic", "pl": "polish",
          "en": "british"}  # fmt: skip


_AMERICAN = re.compile(
    r"\b(?:(?:MS|AU|PR|PF|XF|EF|VF|VG|F|G)[\s-]?\d\d?|AU|MS|PR|PF)\b", re.IGNORECASE
)
"""Grades that are written so on the American scale alone."""


def habit_of(texts: Iterable[str], language: str = "") -> str:
    """The habit by which most of these cells are grades; "" where hardly any is one.

    Where two read as many, that of the list's language counts, then the one that needs fewer
    words left over; the American one only where its numbers are seen, and not once in a while.
    """
    counts = Counter(text.strip() for text in texts if text.strip())
    total = sum(counts.values())
    marks: dict[str, float] = {}
    for habit in HABITS:
        mark = 0.0
        for text, count in counts.items():
            read = read_grade(text, habit)
            if read is not None:
                mark += count * (1.0 if read.whole else 0.7 if not read.left else 0.5)
        marks[habit] = mark + (0.03 * total if habit == PRIOR.get(language) else 0)
    numbered = sum(count for text, count in counts.items() if _AMERICAN.search(text))
    marks["american"] += 0.5 * numbered if numbered * 5 >= total else -0.2 * total
    best = max(marks, key=lambda habit: marks[habit])
    return best if total and marks[best] >= 0.3 * total else ""
