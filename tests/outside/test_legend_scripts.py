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

import re
import unicodedata

import pytest
from fontTools.unicodedata import script_name as script_name_in_unicode

from series.legends.index import LegendIndex
from series.legends.letters import by_looks, letters, romanised, runs_leftward
from series.legends.spellings import StruckText
from series.text.folding import fold
from series.text.scripts import NAMES, as_seen, named, script_of

ISO_15924 = {
    "Latn": "REX",
    "Cyrl": "КОПЕЕК",
    "Grek": "ΔΡΑΧΜΑΙ",
    "Arab": "ريال",
    "Hebr": "שקל",
    "Deva": "रुपये",
    "Thai": "บาท",
    "Geor": "თეთრი",
    "Armn": "ԴՐԱՄ",
    "Ethi": "ብር",
    "Hang": "원",
    "Khmr": "រៀល",
}


@pytest.mark.parametrize("code", ISO_15924)
def test_letters_of_a_legend_are_of_its_script(code: str) -> None:
    text = ISO_15924[code]
    assert {script_of(char) for char in letters(text)} == {code}


@pytest.mark.parametrize("code", sorted(set(ISO_15924) - {"Latn"}))
def test_a_legend_in_any_script_is_found_as_struck_and_in_latin_letters(code: str) -> None:
    index = LegendIndex.of([[StruckText(text, script)] for script, text in ISO_15924.items()])
    text = ISO_15924[code]
    number = list(ISO_15924).index(code)
    for piece in (text, romanised(text)):
        assert int(index.weigh([piece]).types.argmax()) == number


@pytest.mark.parametrize("code", ISO_15924)
def test_direction_is_that_of_the_unicode_bidirectional_class(code: str) -> None:
    text = ISO_15924[code]
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


# Code, name and what it is an alias for, in the code list of ISO 15924, from memory.
TOGETHER = {
    "Hrkt": "Japanese syllabaries (alias for Hiragana + Katakana)",
    "Jpan": "Japanese (alias for Han + Hiragana + Katakana)",
    "Kore": "Korean (alias for Hangul + Han)",
    "Hans": "Han (Simplified variant)",
    "Hant": "Han (Traditional variant)",
}
ALONE = {"Han": "Hani", "Hiragana": "Hira", "Katakana": "Kana", "Hangul": "Hang"}


@pytest.mark.parametrize("code", ["Jpan", "Kore"])
def test_a_script_written_with_others_is_named_by_any_of_them(code: str) -> None:
    parts = {part for name, part in ALONE.items() if re.search(rf"\b{name}\b", TOGETHER[code])}
    assert len(parts) > 1
    for part in parts:
        assert named(code, as_seen({part}))
        assert named(part, as_seen({code}))
    assert as_seen(parts) == as_seen({code}) == {code}
    for other in set(ALONE.values()) - parts:
        assert not named(code, as_seen({other}))


@pytest.mark.parametrize(("code", "whole"), [("Hrkt", "Jpan"), ("Hans", "Hani"), ("Hant", "Hani")])
def test_variants_are_seen_as_the_script_they_belong_to(code: str, whole: str) -> None:
    assert as_seen({code}) == {whole}
    assert named(code, {whole})


@pytest.mark.parametrize("code", sorted({*NAMES} & set(TOGETHER)))
def test_names_of_scripts_written_together_are_the_published_ones(code: str) -> None:
    assert TOGETHER[code].startswith(f"{NAMES[code]} (")


def test_other_names_are_those_of_unicode_but_for_two_languages() -> None:
    ours = {code: name for code, name in NAMES.items() if code not in TOGETHER}
    differing = {code for code, name in ours.items() if name != script_name_in_unicode(code)}
    assert differing == {"Mymr", "Hani"}


CYRILLIC, AS_LATIN = "АВЕКМНОРСТХІЅ", "ABEKMHOPCTXIS"
GREEK, LIKEWISE = "ΑΒΕΖΗΙΚΜΟΡΤΥΧ", "ABEZHIKMOPTYX"


@pytest.mark.parametrize(
    ("theirs", "latin"), [*zip(CYRILLIC, AS_LATIN, strict=True), *zip(GREEK, LIKEWISE, strict=True)]
)
def test_capitals_that_unicode_calls_confusable_look_the_same(theirs: str, latin: str) -> None:
    assert unicodedata.name(theirs) != unicodedata.name(latin)
    assert by_looks(theirs) == fold(latin)
