"""Scripts and transliterations of legends, compared with published tables.

Script codes: ISO 15924 (registration authority: Unicode; names as in its public list, from
memory). Letters by script: the Unicode Character Database that comes with Python. Greek and
Cyrillic letters as they look in Latin: the confusables of Unicode Technical Standard 39, the
pairs below from memory. Transliterations: what anyascii gives must be what the published system
gives for these words once accents are folded (ISO 9:1995 for Cyrillic and ISO 843:1997 for Greek,
from memory). That U = V, I = J and Hebrew final forms are one letter each: common practice, no
source.
"""

from __future__ import annotations

import unicodedata

import pytest

from series.legends.index import LegendIndex, StruckText
from series.legends.letters import by_looks, letters, romanised, runs_leftward, script_of
from series.text.folding import fold

ISO_15924 = {
    "Latn": ("LATIN", "REX"),
    "Cyrl": ("CYRILLIC", "КОПЕЕК"),
    "Grek": ("GREEK", "ΔΡΑΧΜΑΙ"),
    "Arab": ("ARABIC", "ريال"),
    "Hebr": ("HEBREW", "שקל"),
    "Deva": ("DEVANAGARI", "रुपये"),
    "Thai": ("THAI", "บาท"),
    "Geor": ("GEORGIAN", "თეთრი"),
    "Armn": ("ARMENIAN", "ԴՐԱՄ"),
    "Ethi": ("ETHIOPIC", "ብር"),
    "Hang": ("HANGUL", "원"),
    "Khmr": ("KHMER", "រៀល"),
}


@pytest.mark.parametrize("code", ISO_15924)
def test_letters_of_a_legend_are_of_its_script(code: str) -> None:
    name, text = ISO_15924[code]
    assert {script_of(char) for char in letters(text)} == {name}


@pytest.mark.parametrize("code", sorted(set(ISO_15924) - {"Latn"}))
def test_a_legend_in_any_script_is_found_as_struck_and_in_latin_letters(code: str) -> None:
    index = LegendIndex.of([[StruckText(text, script)] for script, (_, text) in ISO_15924.items()])
    _, text = ISO_15924[code]
    number = list(ISO_15924).index(code)
    for piece in (text, romanised(text)):
        assert int(index.log_likelihoods([piece]).argmax()) == number


@pytest.mark.parametrize("code", ISO_15924)
def test_direction_is_that_of_the_unicode_bidirectional_class(code: str) -> None:
    _, text = ISO_15924[code]
    strong = {unicodedata.bidirectional(char) for char in text} & {"L", "R", "AL"}
    assert runs_leftward(text) == (strong != {"L"})


@pytest.mark.parametrize(
    ("text", "system", "published"),
    [
        ("РУБЛЕЙ", "ISO 9", "RUBLEJ"),
        ("КОПЕЙКА", "ISO 9", "KOPEJKA"),
        ("ДИНАРА", "ISO 9", "DINARA"),
        ("ЛЕВА", "ISO 9", "LEVA"),
        ("СТОТИНКИ", "ISO 9", "STOTINKI"),
        ("ΛΕΠΤΑ", "ISO 843", "LEPTA"),
        ("ΔΡΑΧΜΗ", "ISO 843", "DRACHMĪ"),
    ],
)
def test_transliterations_are_near_the_published_ones(
    text: str, system: str, published: str
) -> None:
    """Systems differ by a letter (Й is J or Y, Η is I or E): at most one in a word."""
    ours, theirs = letters(romanised(text)), letters(published)
    assert len(ours) == len(theirs)
    assert sum(one != other for one, other in zip(ours, theirs, strict=True)) <= 1, system


CYRILLIC, AS_LATIN = "АВЕКМНОРСТХІЅ", "ABEKMHOPCTXIS"
GREEK, LIKEWISE = "ΑΒΕΖΗΙΚΜΟΡΤΥΧ", "ABEZHIKMOPTYX"


@pytest.mark.parametrize(
    ("theirs", "latin"), [*zip(CYRILLIC, AS_LATIN, strict=True), *zip(GREEK, LIKEWISE, strict=True)]
)
def test_capitals_that_unicode_calls_confusable_look_the_same(theirs: str, latin: str) -> None:
    assert unicodedata.name(theirs) != unicodedata.name(latin)
    assert by_looks(theirs) == fold(latin)
