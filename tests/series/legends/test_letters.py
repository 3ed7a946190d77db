from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.legends.letters import (
    LONGEST_PIECE,
    by_looks,
    is_latin,
    letters,
    piece_letters,
    romanised,
    runs_leftward,
    split_pieces,
)
from series.text.folding import fold


@given(st.text(st.characters(max_codepoint=127)))
def test_the_short_way_for_ascii_is_that_of_folding(text: str) -> None:
    assert letters(text) == fold(text).replace(" ", "")


@given(st.text())
def test_letters_of_letters_are_the_same(text: str) -> None:
    assert letters(letters(text)) == letters(text)
    assert " " not in letters(text)


@pytest.mark.parametrize(
    ("struck", "typed"),
    [
        ("ЯEPUBLIC", "REPUBLIC"),
        ("GEOЯGIVS", "georgius"),
        ("ИOVA", "NOVA"),
        ("ƎNO", "ENO"),
        ("ʿūrān", "uran"),
        ("שלום", "שלומ"),  # the form at the end of a word
        ("D · G · REX", "dgrex"),
        ("ÆS", "AES"),
    ],
)
def test_forms_that_are_one(struck: str, typed: str) -> None:
    assert letters(struck) == letters(typed) != ""


@pytest.mark.parametrize(("one", "other"), [("ЯИ", "RN"), ("РЯИ", "РRN"), ("А", "A")])
def test_in_cyrillic_they_are_letters_of_their_own(one: str, other: str) -> None:
    assert letters(one) != letters(other)


@pytest.mark.parametrize(
    ("typed", "pieces"),
    [
        ("SALT MOUTH", ("SALT", "MOUTH")),
        ("SALT/MOUTH; 1931", ("SALT", "MOUTH", "1931")),
        ("SALT…MOUTH...1931 .. X", ("SALT", "MOUTH", "1931", "X")),
        ("D.G.REX\nF.D.", ("D.G.REX", "F.D.")),
        ("SALT*MOUTH|X", ("SALT", "MOUTH", "X")),
        ("  ? ?? · ", ()),
        ("", ()),
        ("عوران ٥", ("عوران", "٥")),
        ("A B A", ("A", "B", "A")),
    ],
)
def test_what_is_typed_is_split_into_pieces(typed: str, pieces: tuple[str, ...]) -> None:
    assert split_pieces(typed) == pieces


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("??LIB?RTY?", "lib?rty"),
        ("عو؟ان", "عو?ان"),
        ("LIB？RTY", "lib?rty"),
        ("LIB�RTY", "lib?rty"),
        ("???", ""),
        ("ИO?A", "no?a"),
        ("Я?X", "r?x"),
        ("A" * 150, "a" * LONGEST_PIECE),
    ],
)
def test_unread_letters_hold_their_places(typed: str, kept: str) -> None:
    assert piece_letters(typed) == kept


@given(st.text("AЯ?؟· שֵם"))
def test_letters_of_a_piece_are_stable(typed: str) -> None:
    assert piece_letters(piece_letters(typed)) == piece_letters(typed)


@pytest.mark.parametrize(
    ("text", "looks"),
    [("СССР", "cccp"), ("КОПЕЕК", "koneek"), ("ΔΡΑΧΜΗ", "apaxmh"), ("REX", ""), ("عوران", "")],
)
def test_what_a_text_looks_like_to_a_latin_eye(text: str, looks: str) -> None:
    assert by_looks(text) == looks


def test_a_script_is_latin_by_most_of_its_letters() -> None:
    assert is_latin("1931")
    assert is_latin("toysяus")
    assert is_latin("þor")
    assert not is_latin("копеек5a")


def test_scripts_that_run_leftward() -> None:
    assert runs_leftward("عوران")
    assert runs_leftward("שקל")
    assert not runs_leftward("REX")


def test_a_text_in_latin_letters() -> None:
    assert romanised("Рубль").startswith("Rubl")
