"""Cells as people write them, in several languages: common practice, no source, but where named."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from catalogue.importing.reading.cells import Habits, habits_of, understand
from catalogue.importing.reading.coin_dates import read_coin_date
from catalogue.importing.reading.combined import split_coin
from catalogue.importing.reading.countries import meant, named
from catalogue.importing.reading.figures import (
    read_alignment,
    read_day,
    read_measure,
    read_pieces,
    read_price,
    read_quantity,
    read_yes,
)
from catalogue.importing.reading.grade_words import habit_of, read_grade
from catalogue.importing.reading.lists import Mapping, Row, Table
from catalogue.importing.reading.values import read_value


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("50p", "50", "penny"),
        ("Half-penny", "1/2", "penny"),
        ("3d brass", "3", "penny"),
        ("1/-", "1", "shilling"),
        ("2/6", "5/2", "shilling"),
        ("£1", "1", "pound"),
        ("5F", "5", "franc"),
        ("20 cts marianne", "20", "cent"),
        ("10 pf", "10", "pfennig"),
        ("1/2 franken", "1/2", "franc"),
        ("2½ gulden", "5/2", "gulden"),
        ("1.000 Lire", "1000", "lira"),
        ("20 000 lire", "20000", "lira"),
        ("5,– Kr.", "5", "krona"),
        ("2,50 F", "5/2", "franc"),
        ("€ 0,50", "1/2", "euro"),
        ("half $", "1/2", "dollar"),
        ("Zwei Mark", "2", "mark"),
        ("Fünfmarkstück", "5", "mark"),
        ("tvåkronor", "2", "krona"),
        ("cuarto de dólar", "1/4", "dollar"),
        ("quart de dollar", "1/4", "dollar"),
        ("5 złotych", "5", "zloty"),
        ("15 копеек", "15", "kopeck"),
        ("25 centów", "25", "cent"),
        ("kr 5", "5", "krona"),
        ("1 Kcs", "1", "koruna"),
        ("State quarter NY", "1", "quarter"),
        ("5 tinne", "5", "tinne"),
        ("10 DEM", "10", "mark"),
    ],
)
def test_a_value_is_a_number_of_a_unit(text: str, number: str, unit: str) -> None:
    value = read_value(text)
    assert (value.number, value.units[0]) == (Fraction(number), unit)


@pytest.mark.parametrize(
    ("text", "edtf", "marks"),
    [
        ("1950 G", "1950", ("G",)),
        ("1944-D", "1944", ("D",)),
        ("1943P", "1943", ("P",)),
        ("D 1951", "1951", ("D",)),
        ("2002 (A)", "2002", ("A",)),
        ("1970 S/D", "1970", ("S", "D")),
        ("2021 h", "2021", ("h",)),
        ("1954?", "1954?", ()),
        ("19?8", "19X8", ()),
        ("192x", "192X", ()),
        ("195-", "195X", ()),
        ("ca. 1890", "1890~", ()),
        ("um 1930", "1930~", ()),
        ("1890-95", "[1890..1895]", ()),
        ("1966 oder 1967", "[1966,1967]", ()),
        ("1776-1976 D", "1976", ("D",)),
        ("1957*59", "1957", ()),
        ("1908/7", "1908", ()),
        ("20.03.2004", "2004", ()),
        ("2004-03-20", "2004", ()),
        ("'59", "XX59", ()),
        ("1346 (1927/28)", "[1927..1928]", ()),
        ("MDCCCXC", "1890", ()),
        ("1938/1357", "1938", ()),
        ("o.J.", "", ()),
        ("s/d", "", ()),
        ("VF 1944", "1944", ()),
    ],
)
def test_a_date_with_its_marks(text: str, edtf: str, marks: tuple[str, ...]) -> None:
    read = read_coin_date(text)
    assert read is not None
    assert (read[0].edtf, read[0].marks) == (edtf, marks)


def test_a_year_of_another_calendar_is_that_of_the_calendars() -> None:
    """Against the tables of ``series.years``, which have their own sources."""
    read = {text: read_coin_date(text) for text in ("昭和35", "1371", "AH 1389", "2510")}
    assert {text: found and found[0].edtf for text, found in read.items()} == {
        "昭和35": "1960",
        "1371": "[1951,1952]",
        "AH 1389": "[1969,1970]",
        "2510": "1967",
    }


@pytest.mark.parametrize(
    ("habit", "text", "codes"),
    [
        ("german", "s-ss", ["s", "ss"]),
        ("german", "Sehr schön", ["ss"]),
        ("german", "fast vz", ["vz"]),
        ("french", "TTB", ["ss"]),
        ("french", "TB à TTB", ["s", "ss"]),
        ("italian", "qFDC", ["st"]),
        ("italian", "BB/SPL", ["ss", "vz"]),
        ("spanish", "MBC+", ["ss"]),
        ("dutch", "ZF/PR", ["ss", "vz"]),
        ("nordic", "1+", ["ss"]),
        ("nordic", "01", ["vz"]),
        ("polish", "III-", ["ss"]),
        ("american", "MS60", ["MS-60"]),
        ("american", "XF 45", ["EF-45"]),
        ("british", "gF", ["GF"]),
        ("british", "nearly EF", ["NEF"]),
        ("british", "VF/EF", ["VF", "EF"]),
    ],
)
def test_grades_of_several_countries(habit: str, text: str, codes: list[str]) -> None:
    read = read_grade(text, habit)
    assert read is not None
    assert [grade.code for grade in read.grades] == codes


@pytest.mark.parametrize(
    ("texts", "language", "habit"),
    [
        (["TTB", "SUP", "TB"], "fr", "french"),
        (["BB", "MB", "SPL"], "it", "italian"),
        (["MBC", "BC+", "EBC"], "es", "spanish"),
        (["1", "1+", "0", "01"], "sv", "nordic"),
        (["II", "III-", "IV"], "pl", "polish"),
        (["MS-65", "AU-50", "VF-20"], "en", "american"),
        (["VF", "gF", "EF"], "en", "british"),
        (["red", "green"], "en", ""),
    ],
)
def test_the_habit_of_grading_is_told_by_the_cells(
    texts: list[str], language: str, habit: str
) -> None:
    assert habit_of(texts, language) == habit


@pytest.mark.parametrize(
    ("text", "decimal", "language", "read"),
    [
        ("12,50 €", ",", "de", ("12.50", "EUR")),
        ("1.234,50", ",", "de", ("1234.50", "")),
        ("1,234.50", ".", "en", ("1234.50", "")),
        ("1.150,–", ",", "de", ("1150", "")),
        ("DM 5,-", ",", "de", ("5", "DEM")),
        ("5 kr", ",", "da", ("5", "DKK")),
        ("10:-", ",", "sv", ("10", "")),
        ("1:50", ",", "sv", ("1.50", "")),
        ("7 zł", ",", "pl", ("7", "PLN")),
        ("USD 3.10", ".", "en", ("3.10", "USD")),
        ("gratis", ",", "de", None),
        ("2 x 3", ",", "de", None),
    ],
)
def test_prices(text: str, decimal: str, language: str, read: tuple[str, str] | None) -> None:
    expected = read and (Decimal(read[0]), read[1])
    assert read_price(text, decimal, language) == expected


def test_days_measures_counts_and_answers() -> None:
    assert read_day("20.3.04") == read_day("20. März 2004") == date(2004, 3, 20)
    assert read_day("3/20/2004") == read_day("3/20/2004", "mdy") == date(2004, 3, 20)
    assert read_day("31.2.2004") is read_day("2004") is read_day("März 2004") is None
    assert read_measure("21,5 mm", ",", "mm") == Decimal("21.5")
    assert read_measure("21,5 g", ",", "mm") is None
    assert [read_quantity(t) for t in ("2x", "3 Stück", "1+1", "0", "viele")] == [
        2,
        3,
        2,
        None,
        None,
    ]
    assert [read_alignment(t) for t in ("↑↓", "180°", "12 h", "0°", "13")] == [6, 6, 12, 12, None]
    assert [read_yes(t) for t in ("ja", "x", "nein", "vielleicht")] == [True, True, False, None]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("Griechenland", "GR"),
        ("Rép. démocratique allemande", "DDHH"),
        ("Germany (GDR)", "DDHH"),
        ("CCCP", "SUHH"),
        ("Jugosławia", "YUCS"),
        ("Zaïre", "ZRCD"),
        ("Ελλάδα", "GR"),
        ("日本", "JP"),
        ("Großbritannien", "GB"),
        ("U.S.A.", "US"),
        ("D", "DE"),
        ("deu", "DE"),
        ("Suomi", "FI"),
        ("Etats-Unis d'Amérique", "US"),
        ("Österreich", "AT"),
        ("Sakartvelo", ""),
        ("Germany, Democratic Republic", "DDHH"),
        ("Ujerumani", "DE"),
    ],
)
def test_countries_by_their_names_in_many_languages(text: str, code: str) -> None:
    """Against ISO 3166-1 and 3166-3, from memory; "Ujerumani" is Swahili in CLDR."""
    assert named(text).code == code


def test_a_unit_is_no_country() -> None:
    guinea = split_coin("1 guinea 1813", "british")
    assert guinea.country is None
    assert guinea.value is not None
    assert guinea.value.units == ("guinea",)


def test_a_letter_after_a_year_is_a_mint_or_a_grade() -> None:
    german = split_coin("Deutschland 10 Pfennig 1950 F", "british")
    british = split_coin("GB penny 1912 F", "british")
    glued = split_coin("GB penny 1912-F", "british")
    said = [(part.date and part.date.marks, part.grade) for part in (german, british, glued)]
    assert said == [(("F",), ""), ((), "F"), (("F",), "")]


def _table(*rows: tuple[str, ...], name: str = "list") -> Table:
    return Table(name, tuple(Row(line, cells) for line, cells in enumerate(rows, 1)))


def test_sections_carry_their_country_and_what_is_below_it_is_a_series() -> None:
    table = _table(
        ("Wert", "Jahr", "Erh."),
        ("Frankreich",),
        ("Vierte Republik 1946–58",),
        ("5 F", "1950", "s"),
        ("Atlantis",),
        ("1 Ora", "1900", "ss"),
        ("Summe", "", "2"),
    )
    mapping = Mapping(True, 0, ("denomination", "date", "grade"))
    habits = habits_of(table, mapping)
    read = [understand(row, mapping, habits) for row in table.rows]
    assert [each.kind for each in read] == [
        "heading",
        "section",
        "section",
        "coin",
        "section",
        "coin",
        "total",
    ]
    assert read[3].values["country"].code == "FR"
    assert read[3].values["series"] == "Vierte Republik 1946–58"
    assert (read[5].values["country"].text, read[5].carried) == ("Atlantis", ("country",))
    assert read[6].rest == ((0, "Summe"), (2, "2"))


def test_a_country_given_once_and_ditto_marks_hold_for_the_rows_below() -> None:
    table = _table(
        ("Sverige", "1 öre", "1950"),
        ("", "2 öre", "1951"),
        ("", '"', "1952"),
        ("", '-"-', "1953"),
        ("Norge", "5 øre", "1954"),
        ("", "ditto", "1955"),
    )
    mapping = Mapping(False, 0, ("country", "denomination", "date"))
    habits = habits_of(table, mapping)
    read = [understand(row, mapping, habits) for row in table.rows]
    assert [each.values["country"].code for each in read] == ["SE"] * 4 + ["NO"] * 2
    assert [each.values["denomination"].number for each in read] == [1, 2, 2, 2, 5, 5]


def test_two_grades_with_a_stroke_are_asked_for_and_kept_as_written() -> None:
    row = Row(1, ("dime", "VF/EF"))
    reading = understand(row, Mapping(False, 0, ("coin", "grade")), Habits(scale="british"))
    (question,) = reading.questions
    assert [sorted(choice.values) for choice in question.choices] == [
        ["grade"],
        ["grade_obverse", "grade_reverse"],
    ]
    assert reading.values["grade"].code == "VF"
    assert reading.rest == ((1, "VF/EF"),)


def test_a_bare_value_takes_the_unit_of_the_currency_column() -> None:
    mapping = Mapping(False, 0, ("denomination", "currency"))
    reading = understand(Row(1, ("25", "Pfennig")), mapping, Habits())
    value = reading.values["denomination"]
    assert (value.number, value.units, value.text) == (25, ("pfennig",), "25")


# ---- pieces said in a note ----
@pytest.mark.parametrize(
    ("note", "pieces"),
    [
        ("vier Stück, eine durchlöchert", 4),
        ("3fach", 3),
        ("zwei Stk.", 2),
        ("five of them", 5),
        ("2 exemplaires", 2),
        ("tre stycken (en sliten)", 3),
        ("two sides worn", None),
        ("2 stamps", None),
        ("one of these was a gift", None),
        ("Stück 4", None),
    ],
)
def test_a_note_that_begins_with_a_count_says_it(note: str, pieces: int | None) -> None:
    assert read_pieces(note) == pieces


def test_a_column_of_quantities_is_asked_before_a_note() -> None:
    columns = Mapping(False, 0, ("denomination", "note"))
    assert understand(Row(1, ("1 cent", "doppelt")), columns, Habits()).values["quantity"] == 2
    counted = Mapping(False, 0, ("denomination", "quantity", "note"))
    reading = understand(Row(1, ("1 cent", "1", "doppelt")), counted, Habits())
    assert reading.values["quantity"] == 1
    assert "quantity" not in understand(Row(2, ("1 cent", "", "3fach")), counted, Habits()).values


# ---- a list on several scales ----
def test_one_numbered_grade_does_not_make_a_list_american() -> None:
    words = ["F", "VF", "EF", "UNC", "F", "VG", "VF", "F"]
    assert habit_of([*words, "MS60"], "en") == "british"
    assert habit_of(["F", "VF", "AU", "MS60", "MS63"], "en") == "american"


# ---- countries cut short, and letters glued to a year ----
@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("Niem.", "DE"),
        ("Frankr.", "FR"),
        ("Stany Zj.", "US"),
        ("E. Unidos", "US"),
        ("W. Brytania", "GB"),
        ("E.U.A.", "US"),
        ("Griechenl.", "GR"),
        ("Austr.", ""),
        ("Schw.", ""),
        ("X.", ""),
    ],
)
def test_a_country_cut_short_is_the_one_that_begins_so(text: str, code: str) -> None:
    """Austria and Australia, Schweiz and Schweden begin alike."""
    assert meant(text).code == code


@pytest.mark.parametrize(
    ("text", "marks"), [("1938c", ("c",)), ("1950g", ("g",)), ("1938r.", ()), ("1938 r.", ())]
)
def test_a_letter_glued_to_a_year_is_a_mark(text: str, marks: tuple[str, ...]) -> None:
    """But the Polish "r." is a word for a year."""
    read = read_coin_date(text)
    assert read is not None
    assert (read[0].edtf, read[0].marks, read[1]) == (text[:4], marks, ())


@pytest.mark.parametrize(
    "text", ["2 Euro-Cent", "2 euro cent", "2 euro centów", "2 Eurocent", "2 euro centimes"]
)
def test_a_cent_of_the_euro_is_no_euro(text: str) -> None:
    value = read_value(text)
    assert (value.number, value.units) == (Fraction(2), ("cent",))


def test_two_euro_and_fifty_cent_stay_two_amounts() -> None:
    assert read_value("2 euro 50 cent").units == ("euro",)
