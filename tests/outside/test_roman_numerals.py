"""Roman numerals against the package roman-numerals (PyPI), which knows the regular forms."""

from __future__ import annotations

from roman_numerals import InvalidRomanNumeralError, RomanNumeral

from series.years.roman import roman


def test_every_regular_numeral_is_read() -> None:
    for number in range(1, 4000):
        assert roman(RomanNumeral(number).to_uppercase()) == (number,)
        assert roman(RomanNumeral(number).to_lowercase()) == (number,)


def test_what_an_unread_letter_leaves_is_what_fits_among_the_regular_numerals() -> None:
    regular = {RomanNumeral(number).to_uppercase(): number for number in range(1, 4000)}
    for text in ("MDCCC?", "M?CMX", "MCMX?V", "MM?"):
        before, after = text.split("?")
        fits = {regular.get(before + letter + after) for letter in "MDCLXVI"} - {None}
        assert fits
        assert fits <= set(roman(text))


def test_irregular_forms_are_ours_alone() -> None:
    for text, number in (("MDCCCCX", 1910), ("MDCCLXXXXVIII", 1798), ("MDCXIIX", 1618)):
        try:
            RomanNumeral.from_string(text)
        except InvalidRomanNumeralError:
            assert roman(text) == (number,)
        else:
            raise AssertionError(f"{text} is regular to the package")
