"""A row against the packs that come with the house: whose coin it is, and whose it is not."""

from __future__ import annotations

from typing import Any

import pytest
from babel import Locale

from catalogue.importing.reading.cells import Habits, habits_of, understand
from catalogue.importing.reading.facts import TypeFacts
from catalogue.importing.reading.lists import Mapping, Row, Table
from catalogue.importing.reading.matching import Match, Reference, match
from tests.catalogue.importing.reading_lists import shipped


def _match(reference: Reference | None = None, **cells: str) -> Match:
    mapping = Mapping(False, 0, tuple(cells))
    reading = understand(Row(1, tuple(cells.values())), mapping, Habits(language="en"))
    return match(reading, reference or shipped())


def _types(found: Match) -> list[str]:
    return [each.type_key for each in found.candidates]


@pytest.mark.parametrize(
    ("country", "value", "date", "key"),
    [
        ("Deutschland", "2 euro", "2002 A", "euro-2-states"),
        ("GR", "20 λεπτά", "2004", "euro-20-cent-states"),
        ("Hiszpania", "2 centy", "2001", "euro-2-cent-globe"),
        ("Francia", "10 centimes", "2002", "euro-10-cent-states"),
        ("Euro", "€1", "2009", "euro-1-continent"),
        ("San Marino", "20 cent", "2004", "euro-20-cent-states"),
        ("USA", "penny", "1969 S", "us-1-cent-memorial-copper"),
        ("Stany Zjednoczone", "dime", "1967", "us-dime-clad"),
        ("États-Unis", "25 cents", "1970", "us-quarter-clad"),
        ("US", "half", "1972 D", "us-half-clad"),
        ("USA", "quarter", "1976", "us-quarter-bicentennial"),
        ("Halvern", "half crown", "1896 N", "halvern-board-half-crown"),
        ("Isole Ouran", "mezzo sahm", "1350", "ouran-half-sahm"),
        ("Halvern", "25 t", "1936 C", "halvern-first-25-tinne"),
        ("Halvern", "20 minims", "2010", "sounds-20-minims"),
    ],
)
def test_a_coin_that_the_packs_have(country: str, value: str, date: str, key: str) -> None:
    found = _match(country=country, denomination=value, date=date)
    assert (_types(found), found.sure) == ([key], True)


@pytest.mark.parametrize(
    ("country", "value", "date"),
    [
        ("Deutschland", "10 pfennig", "1950 G"),
        ("Germany", "2 mark", "2001"),
        ("DDR", "1 mark", "1956"),
        ("Greece", "2 drachmai", "1926"),
        ("Canada", "1 dollar", "1979"),
        ("Canada", "25 cents", "1968"),
        ("France", "20 centimes", "1964"),
        ("GB", "penny", "1969"),
        ("USA", "cent", "1944-D"),
        ("USA", "2 euro", "2002"),
        ("Schweiz", "10 Rappen", "2002"),
        ("Halvern", "10 cent", "2002"),
        ("Ireland", "50p", "1983"),
        ("East Germany", "1 euro", "2002"),
        ("Malta", "10 cent", "2001"),
        ("San Marino", "20 lire", "1980"),
        ("Ecuador", "1 cent", "2000"),
        ("Lietuva", "20 centų", "2009"),
    ],
)
def test_a_coin_that_no_pack_has_is_none_of_theirs(country: str, value: str, date: str) -> None:
    found = _match(country=country, denomination=value, date=date)
    assert found.candidates == ()
    assert not found.sure
    assert found.why.endswith(".")


def test_two_types_of_one_year_are_told_by_metal_mass_or_words() -> None:
    cent = {"country": "USA", "denomination": "cent", "date": "1982"}
    either = _match(**cent)
    assert not either.sure
    assert len(either.candidates) == 2
    assert sum(each.share for each in either.candidates) == pytest.approx(1, abs=1e-3)
    heavy = _match(**cent, mass="3.1 g")
    light = _match(**cent, mass="2.5 g")
    assert (_types(heavy)[0], heavy.sure) == ("us-1-cent-memorial-copper", True)
    assert (_types(light)[0], light.sure) == ("us-1-cent-memorial-zinc", True)
    named = _match(country="Halvern", denomination="50 marl", date="1999", note="the dark noon")
    assert (_types(named)[0], named.sure) == ("halvern-late-50-marl-eclipse", True)


def test_a_name_beside_the_value_that_no_type_has_leaves_it_doubtful() -> None:
    """Dollars of presidents, of which the pack has none, were struck in 2007 (from memory)."""
    sacagawea = _match(country="USA", denomination="Sacagawea dollar", date="2007 P")
    adams = _match(country="USA", denomination="Adams dollar", date="2007 P")
    assert (sacagawea.sure, adams.sure) == (True, False)
    assert "“Adams”" in adams.why


def test_a_unit_of_the_former_money_is_doubtful_while_that_was_struck() -> None:
    """The pack has the Belgian franc of 100 centimes until 2001, the peseta without its cents."""
    for country, value, year, sure in (
        ("België", "50 centimes", "2000", False),
        ("België", "50 centimes", "2002", True),
        ("België", "50 eurocent", "2000", True),
        ("España", "50 céntimos", "2000", True),
        ("Deutschland", "50 Cent", "2002", True),
    ):
        found = _match(country=country, denomination=value, date=year)
        assert (_types(found), found.sure) == (["euro-50-cent-states"], sure), (country, year)


def test_what_speaks_against_the_only_type_leaves_it_doubtful() -> None:
    cells = {"country": "USA", "denomination": "half dollar", "date": "1972"}
    assert _match(**cells).sure
    for more in ({"metal": "silver"}, {"mass": "2.3"}, {"note": "commemorative"}):
        found = _match(**cells, **more)
        assert (_types(found), found.sure) == (["us-half-clad"], False)
        assert found.why != _match(**cells).why


def test_without_a_date_or_a_unit_nothing_is_sure() -> None:
    undated = _match(country="USA", denomination="dime")
    assert (_types(undated), undated.sure) == (["us-dime-clad"], False)
    bare = _match(country="USA", denomination="5", date="1960")
    assert not bare.sure


def test_the_issue_is_told_by_marks_and_purpose() -> None:
    def issue(**cells: str) -> str | None:
        return _match(**cells).candidates[0].issue_key

    half = {"country": "USA", "denomination": "half dollar"}
    assert issue(**half, date="1972 D") == "1972-d"
    assert issue(**half, date="1972") == "1972"
    assert issue(**half, date="1972", mint_mark="Denver") == "1972-d"
    assert issue(**half, date="1973 S", grade="Proof") == "1973-s-proof"
    assert issue(**half, date="1980") is None  # P and D alone were struck
    assert issue(country="Euro", denomination="1 euro", date="2002 J") == "2002"


def test_every_date_of_the_packs_is_found_by_its_own_words_and_never_taken_for_another() -> None:
    """Country, value and date as the packs write them; most are told without a human."""
    known = shipped()
    asked = sure = 0
    for coin in (coin for some in known.types.values() for coin in some):
        issuer = known.issuers[known.series[coin.series].issuer].name
        value = known.denominations[coin.denomination].name
        for issue in (issue for issue in coin.issues if issue.fact != "not_struck"):
            date = " ".join([issue.shown, *issue.marks])
            grade = "Proof" if issue.purpose == "proof" else ""
            found = _match(country=issuer, denomination=value, date=date, grade=grade)
            assert coin.key in _types(found), (issuer, value, date)
            asked, sure = asked + 1, sure + found.sure
            if found.sure:
                assert found.candidates[0].type_key == coin.key, (issuer, value, date)
                assert found.candidates[0].issue_key in (issue.key, None), (issuer, value, date)
    assert sure > 0.95 * asked


def test_what_was_not_struck_is_no_candidate() -> None:
    """The pack says that no 25 tinne of this kind was struck in 1944."""
    found = _match(country="Halvern", denomination="25 tinne", date="1944")
    assert "halvern-first-25-tinne" not in _types(found)


def test_without_a_country_nothing_is_sure_but_what_the_unit_alone_tells() -> None:
    dime = _match(denomination="dime", date="1967")
    assert (_types(dime), dime.sure) == (["us-dime-clad"], False)
    tinne = _match(denomination="25 tinne", date="1936 C")
    assert (_types(tinne), tinne.sure) == (["halvern-first-25-tinne"], True)
    assert _match(denomination="2 zloty", date="1967").candidates == ()


def test_the_facts_alone_decide_not_the_order_of_rows() -> None:
    known = shipped()
    every = [coin for some in known.types.values() for coin in some]
    turned = Reference.of(
        reversed([*known.issuers.values()]),
        reversed([*known.currencies.values()]),
        reversed([*known.denominations.values()]),
        reversed([*known.series.values()]),
        reversed(every),
    )
    asked: list[dict[str, Any]] = [
        {"country": "Halvern", "denomination": "10 tinne", "date": "1946"},
        {"country": "Ouran", "denomination": "1 sahm", "date": "1375", "metal": "silver"},
        {"country": "France", "denomination": "2 euro", "date": "2007"},
    ]
    for cells in asked:
        one, other = _match(**cells), _match(turned, **cells)
        assert (sorted(_types(one)), one.sure) == (sorted(_types(other)), other.sure)


def test_types_without_listed_issues_go_by_their_years() -> None:
    from catalogue.importing.reading.facts import (
        CurrencyFacts,
        DenominationFacts,
        IssuerFacts,
        SeriesFacts,
    )

    reference = Reference.of(
        [IssuerFacts("at", "Austria", "AT")],
        [CurrencyFacts("ats", "schilling", issuers=("at",))],
        [DenominationFacts("one", "1 schilling", "ats", 1)],  # type: ignore[arg-type]
        [SeriesFacts("s", "Second Republic", "at", "ats")],
        [
            TypeFacts("a", "s", "one", first_year=1946, last_year=1952),
            TypeFacts("b", "s", "one", first_year=1959, last_year=1998),
        ],
    )
    assert _types(_match(reference, country="Autriche", denomination="1 S", date="1947")) == ["a"]
    assert _types(_match(reference, country="Autriche", denomination="1 S", date="1955")) == []


def _below(section: str, *cells: tuple[str, str, str]) -> list[Match]:
    """What rows of country, value and date mean below the heading of a section."""
    rows = [Row(n, (str(n), *each)) for n, each in enumerate(cells, 2)]
    table = Table("list", (Row(1, ("", section)), *rows))
    mapping = Mapping(False, 0, ("accession", "country", "coin", "date"))
    habits = habits_of(table, mapping)
    return [match(understand(row, mapping, habits), shipped()) for row in rows]


def test_a_blank_country_that_may_be_either_is_not_sure() -> None:
    named, blank, told = _below(
        "Greece", ("USA", "5 cents", "2018 S"), ("", "5 cents", "2018"), ("", "dime", "2018")
    )
    assert (_types(named), named.sure) == (["us-5-cents-facing"], True)
    assert ({*_types(blank)}, blank.sure) == ({"us-5-cents-facing", "euro-5-cent-globe"}, False)
    assert (_types(told), told.sure) == (["us-dime-clad"], True)


def test_a_section_that_the_packs_have_and_no_country_list_is_a_country() -> None:
    (found,) = _below("— Halvern —", ("", "3 groats", "1898 N"))
    assert (_types(found), found.sure) == (["halvern-board-3-groats"], True)


@pytest.mark.parametrize("unit", ["Eurocent", "euro cent", "EUROCENT"])
def test_euro_cents_are_the_euros_alone(unit: str) -> None:
    assert not _types(_match(country="USA", denomination=f"1 {unit}", date="2019"))
    assert _types(_match(denomination=f"1 {unit}", date="2019")) == ["euro-1-cent-globe"]


@pytest.mark.parametrize("name", ["Halv.", "HALV", "Halvern"])
def test_an_issuer_cut_short(name: str) -> None:
    assert _types(_match(country=name, denomination="3 groats", date="1898"))


@pytest.mark.parametrize("name", ["H.", "Hal", "alvern"])
def test_too_little_of_an_issuer(name: str) -> None:
    assert not _types(_match(country=name, denomination="3 groats", date="1898"))


def test_a_motif_of_a_face_that_each_country_has_for_itself_raises_no_doubt() -> None:
    assert _match(country="Austria", denomination="1 Euro Mozart", date="2002").sure
    assert not _match(country="USA", denomination="Adams dollar", date="2007").sure


def test_a_person_named_in_a_note_raises_doubt() -> None:
    row = {"country": "US", "denomination": "$1", "date": "2007"}
    assert _match(**row).sure
    assert not _match(**row, note="G. Washington").sure


def test_a_date_without_its_century_is_not_sure() -> None:
    assert not _match(country="USA", denomination="dime", date="'20").sure


def test_a_coin_of_two_years_shows_no_other() -> None:
    """The quarter of the bicentennial is dated 1776–1976 (Public Law 93-127, from memory)."""
    assert not _types(_match(country="USA", denomination="quarter", date="1975"))
    for date in ("1776-1976", "1976"):
        found = _match(country="USA", denomination="quarter", date=date)
        assert _types(found) == ["us-quarter-bicentennial"]


def test_a_blank_after_rows_that_each_name_theirs_is_sure_where_one_country_fits() -> None:
    named = ("USA", "dime", "1990"), ("USA", "dime", "1991")
    *_both, several, one, like = _below(
        "Greece", *named, ("", "1 cent", "2010"), ("", "dime", "1990"), ("", "10p", "1984")
    )
    assert ({*_types(several)}, several.sure) == ({"us-1-cent-shield", "euro-1-cent-globe"}, False)
    assert (_types(one), one.sure) == (["us-dime-clad"], True)
    assert not like.sure


# ---- misspelt countries ----
@pytest.mark.parametrize(
    ("country", "value", "date", "key"),
    [
        ("Germnay", "2 euro", "2002 F", "euro-2-states"),
        ("Littauen", "2 Euro", "2015", "euro-2-continent"),
        ("Itlay", "2 cent", "2002", "euro-2-cent-globe"),
        ("Halvren", "half crown", "1896 N", "halvern-board-half-crown"),
    ],
)
def test_one_slip_in_a_country_is_seen_and_said(
    country: str, value: str, date: str, key: str
) -> None:
    found = _match(country=country, denomination=value, date=date)
    assert (_types(found), found.sure) == ([key], True)
    assert f"“{country}” is taken for" in found.why


@pytest.mark.parametrize("country", ["Austrlia", "Gerrrnany", "Ermany", "Itali euro", "Maltq"])
def test_a_country_that_may_be_two_or_none_is_not_guessed(country: str) -> None:
    """Austria and Australia are both one slip away from the first."""
    assert not _match(country=country, denomination="2 euro", date="2002").sure


def test_a_misspelt_country_without_such_a_coin_has_none() -> None:
    found = _match(country="Germnay", denomination="10 pfennig", date="1950")
    assert (found.candidates, found.sure) == ((), False)


# ---- what a note says of another type ----
def test_a_name_of_another_type_of_the_country_leaves_a_doubt() -> None:
    """The catalogue knows Jefferson from the five cents, and no dollar with him."""
    dollar = {"country": "USA", "denomination": "1 dollar", "date": "2007 P"}
    found = _match(**dollar, note="Jefferson, letters on the edge")
    assert not found.sure
    assert "“Jefferson”" in found.why
    assert _match(**dollar, note="from Aldous, letters on the edge").sure


def test_a_seller_is_no_evidence_of_the_type() -> None:
    crown = {"country": "Halvern", "denomination": "crown", "date": "1894 N"}
    assert _match(**crown, acquired_on="from M. Tarleton").sure


# ---- values and countries in one cell ----
def test_a_country_beside_the_value_counts_where_a_section_names_none() -> None:
    table = Table(
        "",
        (
            Row(1, ("RESTO DEL EURO",)),
            Row(2, ("Italia 5 cent", "2008", "EBC")),
            Row(3, ("2 euros", "2000", "MBC")),
        ),
    )
    mapping = Mapping(False, 0, ("denomination", "date", "grade"))
    habits = habits_of(table, mapping)
    italian = match(understand(table.rows[1], mapping, habits), shipped())
    assert (_types(italian), italian.sure) == (["euro-5-cent-globe"], True)


def test_a_fraction_alone_is_the_coin_of_that_name() -> None:
    found = _match(country="Estados Unidos", denomination="Un cuarto", date="1965")
    assert (_types(found), found.sure) == (["us-quarter-clad"], True)


@pytest.mark.parametrize("language", ["en", "de", "fr", "es", "it", "nl", "sv", "da", "nb", "pl"])
def test_the_countries_of_the_euro_are_known_by_their_names_in_cldr(language: str) -> None:
    """The names are Unicode's, by babel; the words for a cent are common usage."""
    cents = {"fr": "centimes", "es": "céntimos", "it": "centesimi", "pl": "centów"}
    for code in ("DE", "FR", "ES", "IT", "AT", "FI", "IE", "NL", "BE", "GR", "LU"):
        country = Locale(language).territories[code]
        for value in (f"20 {cents.get(language, 'cent')}", "20 Euro-Cent", "20c"):
            found = _match(country=country, denomination=value, date="2004")
            assert (_types(found), found.sure) == (["euro-20-cent-states"], True), (country, value)
