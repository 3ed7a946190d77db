from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from series.legends.index import TOLERANCE, LegendIndex
from series.legends.letters import split_pieces
from series.legends.spellings import StruckText
from series.legends.wear import SURE_COUNT
from tests.series.legends.plain_model import plain_log_likelihoods


def latin(*texts: str) -> list[StruckText]:
    return [StruckText(text, "Latn") for text in texts]


HALVERN = latin("HALVERN · SALTMOUTH", "25 TINNE")
LIBERTY = latin("LIBERTY", "IN GOD WE TRUST", "ONE CENT")
OURAN = [StruckText("جُزُر عوران", "Arab", "juzur ʿūrān"), StruckText("٥ فلز", "Arab", "5 falz")]
ISRAEL = [StruckText("חצי לירה", "Hebr"), StruckText("ישראל", "Hebr", "yisrael")]
KOPECK = [StruckText("СССР", "Cyrl"), StruckText("5 КОПЕЕК", "Cyrl")]
DRACHMA = [StruckText("ΔΡΑΧΜΑΙ", "Grek")]
BLANK: list[StruckText] = []

TYPES = [HALVERN, LIBERTY, OURAN, ISRAEL, KOPECK, DRACHMA, BLANK]
INDEX = LegendIndex.of(TYPES)


def best(text: str) -> list[StruckText]:
    return TYPES[int(np.nanargmax(INDEX.weigh(split_pieces(text)).types))]


@pytest.mark.parametrize(
    ("typed", "legends"),
    [
        ("SALT??OUTH", HALVERN),  # unread letters, one counted too many
        ("UTHHAL", HALVERN),  # over the end of the text, on at its beginning
        ("MOUTH VERN", HALVERN),  # in any order
        ("haluern", HALVERN),  # U is V
        ("LIBARTY", LIBERTY),  # one letter taken for another
        ("LIBRTY", LIBERTY),  # one left out
        ("LIIBERTY", LIBERTY),  # one counted twice
        ("УTЯƎBI⅃", LIBERTY),  # a reversed die, some letters typed as they look
        ("YTREBIL", LIBERTY),  # backwards
        ("ƎNO", LIBERTY),
        ("عوران", OURAN),
        ("عُوْرَان", OURAN),  # with vowel points
        ("ناروع", OURAN),  # typed in the order seen, from left to right
        ("juzur", OURAN),
        ("IUZVR OVRAN", OURAN),  # I is J, U is V, another romanisation
        ("٥ فلز", OURAN),
        ("לארשי", ISRAEL),  # typed in the order seen
        ("ישר?ל", ISRAEL),
        ("chtzy", ISRAEL),  # as anyascii writes it, none being recorded
        ("КОПЕЙК", KOPECK),
        ("KOPEEK", KOPECK),  # transliterated
        ("CCCP", KOPECK),  # Latin letters that look so
        ("KOIIEEK", KOPECK),
        ("ΔΡ?ΧΜΑ", DRACHMA),
        ("DRACHMAI", DRACHMA),
    ],
)
def test_the_right_type_comes_first(typed: str, legends: list[StruckText]) -> None:
    assert best(typed) is legends


def test_order_of_pieces_does_not_matter() -> None:
    one = INDEX.weigh(["SALT", "VERN"]).types
    other = INDEX.weigh(["VERN", "SALT"]).types
    assert np.allclose(one, other, equal_nan=True)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("HALVERN", "haluern"),
        ("JUZUR", "ivzvr"),
        ("TÍNNE", "tinne"),
        ("T·I·N·N·E", "TINNE"),
        ("25", "٢٥"),
        ("??LIB?R??", "LIB？R"),
        ("LIBEЯTY", "LIBERTY"),
        ("ﬁne", "FINE"),
    ],
)
def test_forms_of_a_piece_that_are_one(one: str, other: str) -> None:
    assert np.array_equal(INDEX.weigh([one]).types, INDEX.weigh([other]).types, equal_nan=True)


def test_every_start_of_a_closed_text_is_alike() -> None:
    index = LegendIndex.of([latin("REXDEI")])
    first, *others = [index.weigh([piece]).types[0] for piece in ("REXDEI", "EIREXD", "XDEIRE")]
    assert others == pytest.approx([first, first], abs=0.001)


def test_a_type_without_legends_is_neither_for_nor_against() -> None:
    found = INDEX.weigh(["LIBERTY"]).types
    assert [math.isnan(each) for each in found] == [legends is BLANK for legends in TYPES]


def test_a_legend_of_signs_alone_is_none() -> None:
    assert math.isnan(LegendIndex.of([latin("★ · ★"), LIBERTY]).weigh(["REX"]).types[0])


@pytest.mark.parametrize("nothing", [[], [""], ["???"], [" · "]])
def test_nothing_read_tells_nothing(nothing: list[str]) -> None:
    weighed = INDEX.weigh(nothing)
    assert weighed.elsewhere == 0
    assert np.array_equal(weighed.types, [0, 0, 0, 0, 0, 0, math.nan], equal_nan=True)


def test_a_piece_without_letters_is_passed_over() -> None:
    assert np.array_equal(
        INDEX.weigh(["LIB", "??"]).types, INDEX.weigh(["LIB"]).types, equal_nan=True
    )


@pytest.mark.parametrize("types", [[], [[]], [[], latin("·")]])
def test_no_legends_at_all(types: list[list[StruckText]]) -> None:
    index = LegendIndex.of(types)
    assert np.isnan(index.weigh(["REX", "REXREX"]).types).tolist() == [True] * len(types)
    assert math.isfinite(index.weigh(["REX", "REXREX"]).elsewhere)


def test_a_script_that_no_record_has_speaks_for_no_type() -> None:
    weighed = INDEX.weigh(["กษาปณ์"])
    assert weighed.types[0] < weighed.elsewhere
    assert np.ptp(weighed.types[:-1]) == pytest.approx(0, abs=1e-6)


def test_a_word_on_many_coins_is_likelier_elsewhere_than_one_on_none() -> None:
    index = LegendIndex.of([latin("REPUBLIC", name) for name in ("UTOPIA", "LILLIPUT", "ERIS")])
    assert index.weigh(["REPUBLIC"]).elsewhere > index.weigh(["CILBRUPE"]).elsewhere + 3


def test_a_text_of_half_a_character_is_passed_over() -> None:
    index = LegendIndex.of([latin("REX\ud800DEI")])
    assert index.weigh(["REXDEI\udfff"]).types[0] > index.weigh(["REXDEI"]).elsewhere


def test_a_legend_of_many_signs_is_found() -> None:
    """More signs than letters have numbers to the base of a short whole number."""
    signs = [chr(point) for point in range(0x4E00, 0x4E00 + 3000)]
    types = [[StruckText("".join(signs[at : at + 6]), "Hani")] for at in range(0, 3000, 6)]
    index = LegendIndex.of(types)
    assert int(index.weigh(["".join(signs[1203:1206])]).types.argmax()) == 200


def test_the_same_legend_is_stored_once_and_given_back_in_order() -> None:
    index = LegendIndex.of([HALVERN, LIBERTY, HALVERN[::-1]])
    assert len(index.recorded.things) == 5
    assert index.recorded.of(0) == list(HALVERN)
    assert index.recorded.of(2) == list(HALVERN[::-1])


@pytest.mark.parametrize("piece", ["þ" * 100, "鑄" * 100, "SALT" * 50, "?S" * 60])
def test_a_very_long_piece_has_a_finite_likelihood(piece: str) -> None:
    weighed = INDEX.weigh([piece] * 3)
    assert np.isfinite(weighed.types[:-1]).all()
    assert math.isfinite(weighed.elsewhere)


TEXT = st.text("ABCDEOQTF8 ·", max_size=14)
CYRILLIC = st.text("АБВНПИ1", max_size=8)
LEGEND = TEXT.map(lambda text: StruckText(text, "Latn")) | st.builds(
    StruckText, CYRILLIC, st.just("Cyrl"), st.just("") | st.text("ABCD", max_size=8)
)
TYPE = st.lists(LEGEND, max_size=3)


@settings(max_examples=60)
@given(st.lists(TYPE, max_size=5), st.text("ABCDEOQTF8?", max_size=11))
def test_as_the_plain_model(types: list[list[StruckText]], piece: str) -> None:
    """Never above the plain model, and below by no more than stated."""
    ours = LegendIndex.of(types).weigh([piece])
    plain, elsewhere = plain_log_likelihoods([piece], types)
    for one, other in zip([*ours.types, ours.elsewhere], [*plain, elsewhere], strict=True):
        assert math.isnan(one) == math.isnan(other)
        if not math.isnan(one):
            assert other - TOLERANCE <= one <= other + 1e-6


@settings(max_examples=40)
@given(st.lists(TYPE, max_size=5), st.text("ABCDEOQTF8?", max_size=SURE_COUNT))
def test_a_short_piece_is_as_the_plain_model(types: list[list[StruckText]], piece: str) -> None:
    ours = LegendIndex.of(types).weigh([piece]).types
    plain, _ = plain_log_likelihoods([piece], types)
    assert np.allclose(ours, plain, atol=TOLERANCE, equal_nan=True)


@settings(max_examples=20)
@given(st.lists(st.lists(CYRILLIC.map(lambda t: StruckText(t, "Cyrl"))), max_size=4), CYRILLIC)
def test_a_cyrillic_piece_is_as_the_plain_model(types: list[list[StruckText]], piece: str) -> None:
    ours = LegendIndex.of(types).weigh([piece]).types
    plain, _ = plain_log_likelihoods([piece], types)
    assert np.allclose(ours, plain, atol=TOLERANCE, equal_nan=True)


def test_a_piece_from_right_to_left_is_readily_taken_as_typed_backwards() -> None:
    """Typed in the order in which it is seen, it costs less than a Latin piece turned round."""
    index = LegendIndex.of([[StruckText("جزرعوران", "Arab")], [StruckText("saltmouth", "Latn")]])

    def turned(piece: str, number: int) -> float:
        forth, back = (index.weigh([each]).types[number] for each in (piece, piece[::-1]))
        return float(forth - back)

    assert turned("عوران", 0) == pytest.approx(math.log(0.9 / 0.1), abs=0.1)
    assert turned("mouth", 1) == pytest.approx(math.log(0.98 / 0.02), abs=0.3)


def test_the_chance_of_a_piece_that_no_text_holds_stays_above_nothing() -> None:
    """A hundred letters, each one of thousands at most, come to less than a float can hold."""
    index = LegendIndex.of([latin("A" * 3000)])
    weighed = index.weigh(["B" * 100])
    assert math.isfinite(weighed.elsewhere)
    assert np.isfinite(weighed.types).all()
