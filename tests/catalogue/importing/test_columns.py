"""What columns are, by heading and by what they hold; headings are common usage, no source."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.importing.reading.columns import propose
from catalogue.importing.reading.heading_words import language_of
from catalogue.importing.reading.lists import FIELDS, Mapping, Row, Table


def _table(*rows: tuple[str, ...]) -> Table:
    return Table("list", tuple(Row(line, cells) for line, cells in enumerate(rows, 1)))


ROWS = (
    ("1", "Suomi", "5 penniä", "1963", "1+", "0,50 €", "album 3"),
    ("2", "Sverige", "25 öre", "1950", "1", "1,20 €", "album 3"),
    ("3", "Danmark", "1 krone", "1961", "01", "2,70 €", "album 4"),
)
FOUND = ("accession", "country", "denomination", "date", "grade", "price", "place")


@pytest.mark.parametrize(
    ("language", "heading"),
    [
        ("en", ("No", "Country", "Value", "Year", "Cond.", "Paid", "Where kept")),
        ("de", ("Lfd. Nr.", "Land", "Nennwert", "Jahrgang", "Erhaltung", "Kaufpreis", "Lagerort")),
        ("fr", ("N°", "Pays", "Valeur faciale", "Millésime", "État", "Prix d'achat", "Rangement")),
        (
            "es",
            ("Nº", "País", "Valor facial", "Año", "Conservación", "Precio de compra", "Ubicación"),
        ),
        ("it", ("N.", "Stato", "Valore nominale", "Millesimo", "Conservazione", "Pagato", "Album")),
        ("nl", ("Volgnr.", "Land", "Nominale waarde", "Jaartal", "Kwaliteit", "Betaald", "Plaats")),
        ("sv", ("Löpnr", "Land", "Valör", "Årtal", "Kvalitet", "Inköpspris", "Förvaring")),
        ("da", ("Nr.", "Land", "Pålydende", "Årstal", "Kval.", "Købspris", "Placering")),
        ("nb", ("Nr.", "Land", "Pålydende", "Årstall", "Kvalitet", "Kjøpspris", "Plassering")),
        ("pl", ("Lp.", "Kraj", "Nominał", "Rok", "Stan zachowania", "Cena zakupu", "Miejsce")),
        ("pt", ("Nº", "País", "Valor facial", "Ano", "Conservação", "Preço de compra", "Local")),
    ],
)
def test_headings_of_many_languages(language: str, heading: tuple[str, ...]) -> None:
    mapping = propose(_table(heading, *ROWS)).mapping
    assert (mapping.headed, mapping.skip, mapping.fields) == (True, 0, FOUND)
    assert language_of(heading) == language


def test_without_a_heading_the_cells_tell() -> None:
    mapping = propose(_table(*ROWS)).mapping
    assert (mapping.headed, mapping.skip, mapping.fields) == (False, 0, FOUND)


def test_titles_above_the_heading_and_two_lines_of_heading() -> None:
    table = _table(
        ("My coins, 2019",),
        ("Coin", "", "", "Condition", "", "Bought", ""),
        ("Country", "Value", "Year", "Obv", "Rev", "Date", "Price"),
        ("Italy", "20 cent", "2002", "VF", "EF", "2/3/2005", "£1"),
        ("Spain", "50 cent", "2003", "F", "VF", "4/3/2005", "£2"),
    )
    mapping = propose(table).mapping
    assert (mapping.headed, mapping.skip) == (True, 2)
    assert mapping.fields == (
        "country",
        "denomination",
        "date",
        "grade_obverse",
        "grade_reverse",
        "acquired_on",
        "price",
    )


def test_one_word_over_two_kinds_of_column_is_told_by_the_cells() -> None:
    table = _table(
        ("Wert", "Jahr", "Wert"), ("5 Mark", "1951", "12,70 €"), ("1 Mark", "1954", "3,30 €")
    )
    assert propose(table).mapping.fields == ("denomination", "date", "worth")
    numbered = _table(
        ("No", "Coin"), ("2", "1 cent 1962"), ("1", "1 cent 1963"), ("2", "dime 1970")
    )
    assert propose(numbered).mapping.fields[0] == "quantity"


def test_every_guess_says_how_sure_it_is_and_why() -> None:
    for guess in propose(
        _table(("Nr", "Land", "Xyzzy"), ("1", "USA", "?!"), ("2", "GB", "#"))
    ).guesses:
        assert 0 <= guess.sure <= 1
        assert guess.why.endswith(".")


@settings(max_examples=100, deadline=None)
@given(st.lists(st.lists(st.text(max_size=12), max_size=6), max_size=8))
def test_no_table_breaks_the_proposal(rows: list[list[str]]) -> None:
    table = Table("x", tuple(Row(n, tuple(cells)) for n, cells in enumerate(rows, 1)))
    proposal = propose(table)
    assert len(proposal.guesses) == len(proposal.mapping.fields)
    assert {*proposal.mapping.fields} <= {*FIELDS}
    once = [
        name for name in proposal.mapping.fields if name in ("country", "date", "coin", "price")
    ]
    assert len(once) == len({*once})


def test_columns_without_headings_are_told_by_what_they_hold_together() -> None:
    rows = [
        ("1943", "5", "øre", "DNK", "CS", "1+", "2", "", "2/6-2001"),
        ("1964", "1", "kr.", "SWE", "", "1", "1", "40,– Kr.", "20/3-2004"),
        ("2002", "1", "cent", "DEU", "G", "01", "3", "", ""),
        ("2006", "2", "euro", '-"-', "J", "0", "1", "3,50 Kr.", ""),
        ("2012", "10", "minims", "Halvern", "h", "1?", "2x", "", "1/12-2010"),
        ("1969", "1/4", "dollar", "USA", "D", "01", "1", "12,– Kr.", ""),
        ("1974", "1", "c", "USA", "S", "1", "1", "", "4/5-2014"),
    ]
    table = Table("", tuple(Row(n, cells) for n, cells in enumerate(rows, 1)))
    assert propose(table).mapping == Mapping(
        False,
        0,
        (
            *("date", "denomination", "currency", "country", "mint_mark"),
            *("grade", "quantity", "price", "acquired_on"),
        ),
    )


VALUES = ("Valeur", "2 F", "1 mite", "3 gr.")


def test_titles_that_hold_values_are_coins_where_no_other_column_does() -> None:
    rows = [("Réf", "Désignation", "Année"), ("001", "FRANCE 2 francs", "1943"),
            ("002", "HALVERN 1 mite", "1910"), ("003", "HALVERN 3 groats", "1898")]  # fmt: skip
    table = Table("", tuple(Row(n, cells) for n, cells in enumerate(rows, 1)))
    assert propose(table).mapping.fields == ("accession", "coin", "date")
    valued = [(*row, value) for row, value in zip(rows, VALUES, strict=True)]
    table = Table("", tuple(Row(n, cells) for n, cells in enumerate(valued, 1)))
    assert propose(table).mapping.fields[1] == "title"


# ---- misspelt headings, and one that may be two fields ----
def test_a_heading_with_one_slip_names_what_it_means() -> None:
    found = propose(_table(("Coutnry", "Vlaue", "Yaer", "Remraks"), ("Suomi", "5", "1963", "x")))
    assert found.mapping.fields == ("country", "denomination", "date", "note")


@pytest.mark.parametrize("values", [("10", "1 marl"), ("1/2",), ("quarter dollar", "20")])
def test_the_only_value_of_few_rows_is_that_of_the_coins(values: tuple[str, ...]) -> None:
    rows = [("Halvern", value, "1931") for value in values]
    found = propose(_table(("Country", "Value", "Year"), *rows))
    assert found.mapping.fields == ("country", "denomination", "date")


def test_a_value_beside_the_coins_is_what_they_are_worth() -> None:
    rows = (("Germany", "10 Pf", "1931", "2"), ("Germany", "5 Mark", "1947", "5"))
    found = propose(_table(("Country", "Coin", "Year", "Value"), *rows))
    assert found.mapping.fields == ("country", "coin", "date", "worth")


def test_a_sum_beneath_does_not_hide_the_quantities() -> None:
    rows = [("5 pesetas", "1957", "MBC", str(1 + n % 3)) for n in range(30)]
    found = propose(_table(*rows, ("in all", "", "", "119")))
    assert found.mapping.fields == ("denomination", "date", "grade", "quantity")
