from __future__ import annotations

import pytest

from series.legends.index import LegendIndex
from series.legends.places import fit_words
from series.legends.spellings import StruckText

HALVERN = [StruckText("HALVERN · SALTMOUTH", "Latn"), StruckText("25 TINNE", "Latn")]
OURAN = [StruckText("جزر عوران", "Arab", "juzur ʿūrān")]
KOPECK = [StruckText("СССР", "Cyrl"), StruckText("5 КОПЕЕК", "Cyrl")]
INDEX = LegendIndex.of([HALVERN, OURAN, KOPECK, [], [StruckText("★", "Latn")]])


@pytest.mark.parametrize(
    ("number", "piece", "words"),
    [
        (0, "SALT?OUTH", "“SALT?OUTH” fits “SALTMOUTH”"),
        (0, "SALT??OUTH", "“SALT??OUTH” fits “SALTMOUTH”"),
        (0, "VERNSA", "“VERNSA” fits “VERN · SA”"),
        (0, "UTHHAL", "“UTHHAL” fits “UTH HAL”"),
        (0, "HTUOM", "“HTUOM” fits “MOUTH”, read backwards"),
        (0, "TU", "“TU” fits “UT”, read backwards"),
        (0, "M", "“M” fits “M”"),
        (0, "HALVERM", "“HALVERM” fits “HALVERN” but for one letter: M where the legend has N"),
        (
            0,
            "5TIMNI",
            "“5TIMNI” fits “5 TINNE” but for two letters: M where the legend has N and I where "
            "the legend has E",
        ),
        (0, "HAVERN", "“HAVERN” fits “HALVERN” with one letter left out: L"),
        (0, "TINXNE", "“TINXNE” fits “TINNE” with one letter too many: X"),
        (0, "KOPEK", "“KOPEK” is not in the legends, which have no K or P"),
        (0, "KOPJEXS", "“KOPJEXS” is not in the legends, which have no K, P or X"),
        (0, "NNRRLL", "“NNRRLL” is not in the legends"),
        (1, "uran", "“uran” fits “ūrān” in transliteration"),
        (1, "عو?ان", "“عو?ان” fits “عوران”"),
        (1, "ناروع", "“ناروع” fits “عوران”, read backwards"),
        (2, "CCCP", "“CCCP” fits “СССР” by the look of its letters"),
        (2, "kopeek", "“kopeek” fits “KOPEEK” in transliteration"),
        (3, "REX", "no legend is recorded that “REX” could be compared with"),
        (4, "REX", "no legend is recorded that “REX” could be compared with"),
    ],
)
def test_how_a_piece_fits_in_words(number: int, piece: str, words: str) -> None:
    (fit,) = INDEX.explain(number, [piece])
    assert fit_words(fit) == words


def test_the_letters_of_a_fit() -> None:
    (fit,) = INDEX.explain(0, ["SLTMOVTK"])
    assert (fit.legend, fit.place, fit.how) == ("HALVERN · SALTMOUTH", "SALTMOUTH", "struck")
    assert [(each.position, each.read, each.struck) for each in fit.differ] == [(8, "K", "H")]
    assert (fit.agree, fit.left_out, fit.put_in, fit.absent) == (7, "A", "", "K")
    assert fit.fits


def test_positions_in_a_piece_that_is_read_backwards_are_as_typed() -> None:
    (fit,) = INDEX.explain(0, ["XTUOMTLAS"])
    assert fit.backwards
    assert [(each.position, each.read, each.struck) for each in fit.differ] == [(1, "X", "H")]


def test_pieces_without_a_read_letter_are_passed_over() -> None:
    assert [fit.piece for fit in INDEX.explain(0, ["??", "SALT", "·"])] == ["SALT"]


def test_one_letter_fits_or_does_not() -> None:
    assert [fit.fits for fit in INDEX.explain(0, ["S", "K"])] == [True, False]


def test_a_piece_longer_than_the_legend_shows_it_whole() -> None:
    (fit,) = INDEX.explain(2, ["СССРСССР"])
    assert fit.place == "СССР"
