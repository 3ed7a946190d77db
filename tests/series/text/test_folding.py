from __future__ import annotations

import sys
import unicodedata

import pytest
from fontTools.unicodedata import block
from hypothesis import example, given
from hypothesis import strategies as st

from series.text.folding import fold


@pytest.mark.parametrize(
    ("struck", "typed"),
    [
        ("IVSTITIA", "Justitia"),
        ("ÆQUITAS", "aequitas"),
        ("ŒUVRE", "oeuvre"),
        ("STRASSE", "Straße"),
        ("ﬁnancial", "FINANCIAL"),
        ("São Tomé", "SAO TOME"),
        ("Ørsted Łódź", "ORSTED LODZ"),
        ("DEI•GRATIA★REX", "dei gratia rex"),
        ("TWENTY-FIVE", "twenty five"),
        ("1931–38", "1931 38"),
        ("O'Brien", "O’BRIEN"),
        ("  a \n b ", "A B"),
        ("dei\tgratia\nrex", "DEI GRATIA REX"),
        ("½", "1/2"),
        ("MDCCⅫ", "mdccxii"),
        ("Ὀδυσσεύς", "ΟΔΥΣΣΕΥΣ"),
        ("ᾠδή", "ωδη"),
        ("КОПЕЙКА", "копеика"),
        ("İstanbul", "ISTANBUL"),
    ],
)
def test_forms_that_match(struck: str, typed: str) -> None:
    assert fold(struck) == fold(typed) != ""


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("rex", "regina"),
        ("dei gratia", "deigratia"),
        ("1931", "1932"),
        ("か", "が"),  # the voicing mark makes another letter
        ("की", "का"),  # so do the vowel signs of Devanagari
        ("£1", "$1"),
    ],
)
def test_forms_that_stay_apart(one: str, other: str) -> None:
    assert fold(one) != fold(other)


def test_arabic_points_and_tatweel_go() -> None:
    assert fold("مُحَمَّد") == fold("محـــمد") == "محمد"


@pytest.mark.parametrize(
    ("one", "other"),
    [("أحمد", "احمد"), ("إمارة", "اماره"), ("آل", "ال"), ("کریم", "كريم"), ("على", "علي")],
)
def test_arabic_forms_of_a_letter_are_one(one: str, other: str) -> None:
    assert fold(one) == fold(other)


def test_hebrew_points_and_gershayim_go() -> None:
    assert fold("תשל״ג") == fold('תשל"ג') == "תשלג"
    assert fold("שָׁלוֹם") == "שלום"


@pytest.mark.parametrize("digits", ["١٣٨٩", "۱۳۸۹", "१३८९", "๑๓๘๙", "１３８９"])
def test_digits_of_any_script_become_western(digits: str) -> None:
    assert fold(digits) == "1389"


def test_direction_marks_and_soft_hyphens_leave_no_trace() -> None:
    assert fold("\u200fhal\u00advern\u200e") == "haluern"


# Blocks of the Unicode Character Database whose combining marks are accents, points and selectors
# of a form; the marks of all other blocks are letters in all but name.
ACCENTS = {
    "Combining Diacritical Marks",
    "Combining Diacritical Marks Extended",
    "Combining Diacritical Marks Supplement",
    "Combining Diacritical Marks for Symbols",
    "Combining Half Marks",
    "Variation Selectors",
    "Variation Selectors Supplement",
    "Arabic",
    "Cyrillic",
    "Hebrew",
    "Syriac",
}


def test_every_accent_goes_and_no_other_mark() -> None:
    points = map(chr, range(sys.maxunicode + 1))
    marks = [mark for mark in points if unicodedata.category(mark) in ("Mn", "Me")]
    gone = {mark for mark in marks if fold(f"o{mark}") == "o"}
    assert gone == {mark for mark in marks if block(mark) in ACCENTS}


def test_nothing_to_match_folds_to_nothing() -> None:
    assert fold("★ · — %_ \x00") == ""


@given(st.text())
@example("ﷺ")
@example("ŉ")
@example("ẞ")
@example("\u0345")
@example("각")
def test_folding_twice_changes_nothing(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@given(st.text())
def test_case_never_matters_for_folded_text(text: str) -> None:
    assert fold(fold(text).upper()) == fold(text)


@given(st.text())
def test_form_of_storage_never_matters(text: str) -> None:
    assert fold(unicodedata.normalize("NFD", text)) == fold(unicodedata.normalize("NFC", text))


@given(st.text())
def test_folded_text_is_safe_to_search_for(text: str) -> None:
    folded = fold(text)
    assert not set(folded) & set("%_\\\x00'\"")
    assert "  " not in folded
    assert folded == folded.strip()


def test_every_single_character_folds_stably() -> None:
    assigned = (
        chr(point)
        for point in range(sys.maxunicode + 1)
        if not 0xAC00 <= point <= 0xD7A3 and not 0x3400 <= point <= 0x9FFF and point < 0x1F000
    )
    assert [c for c in assigned if fold(fold(c)) != fold(c)] == []
