"""What words about a coin ask for, and which coins answer."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from catalogue.holdings.finding.coin_words import date_and_grade, read_words
from catalogue.holdings.finding.typeahead import find_types, nothing_found, read_type, type_options
from catalogue.models import Holding, Member
from series.models import CoinType, Currency, Denomination, Issue, Issuer, Series
from series.types.derived import derive_types


@given(st.text(max_size=40))
def test_any_text_is_read(text: str) -> None:
    asked = read_words(text)
    assert len(asked.terms) <= 8
    assert all(form for term in asked.terms for form in term.forms)


@given(st.integers(1, 999_999), st.sampled_from(["sund", "€", "c", "tinne", "pf", "$"]))
def test_an_amount_is_the_same_however_it_is_written(number: int, unit: str) -> None:
    ways = [f"{number}{unit}", f"{number} {unit}", f"{unit}{number}"]
    read = {read_words(way).terms for way in ways if not way[0].isalpha()}
    amounts = {(terms[0].amount, terms[0].units) for terms in read if terms[0].amount is not None}
    assert len(amounts) <= 1
    assert read_words(f"{number}{unit}").terms[0].amount in {number, None}


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("½ crown", Fraction(1, 2)),
        ("1/2 marl", Fraction(1, 2)),
        ("half marl", Fraction(1, 2)),
        ("third marl", Fraction(1, 3)),
        ("quarter marl", Fraction(1, 4)),
        ("2½d", Fraction(5, 2)),
        ("2 1/2 cents", Fraction(5, 2)),
        ("0.5 sund", Fraction(1, 2)),
    ],
)
def test_parts_of_a_unit_are_read(text: str, amount: Fraction) -> None:
    assert read_words(text).terms[0].amount == amount
    assert [term.amount for term in read_words(f"halvern {text}").terms] == [None, amount]
    assert [term.amount for term in read_words(f"1934, {text}").terms] == [None, amount]


@pytest.mark.parametrize(
    ("text", "forms"),
    [
        ("half marl", ["half marl", "=1 =2 marl"]),
        ("½ marl", ["=1 =2 marl", "half marl"]),
        ("1/3 marl", ["=1 =3 marl", "third marl"]),
        ("5 marl", ["5 marl"]),
        ("5marl", ["=5 marl"]),
        ("nickel", ["nickel", "=5 =cents =dollar"]),
        ("penny", ["penny", "=1 =cent =dollar"]),
        ("2p", ["=2 =p", "=2 penny", "=2 pence"]),
        ("€", ["€", "euro"]),
        ("5-", ["5"]),
    ],
)
def test_the_words_that_answer_a_term(text: str, forms: list[str]) -> None:
    """What stands after an equals sign is a whole word; else a word of the coin begins so."""
    (term,) = read_words(text).terms
    said = [" ".join("=" * word.whole + word.text for word in form) for form in term.forms]
    assert said == forms


def test_of_many_words_the_first_eight_count() -> None:
    words = [chr(ord("a") + number) * 9 for number in range(10)]
    assert [term.word for term in read_words(" ".join(words)).terms] == words[:8]


@pytest.mark.parametrize(
    ("text", "date", "grade"),
    [
        ("25 tinne 1934 C", "1934 C", ""),
        ("25 tinne, 1934c vf", "1934 C", "VF"),
        ("25 tinne (1934)", "1934", ""),
        ("1934 S 25 tinne", "1934 S", ""),
        ("25 tinne 1934 F", "1934", "F"),
        ("25 tinne 1934 MS 63", "1934", "MS-63"),
        ("25 tinne 19?4", "19?4", ""),
        ("25 tinne", "", ""),
        ("2000 reis", "", ""),
    ],
)
def test_a_date_among_the_words_is_the_date(text: str, date: str, grade: str) -> None:
    value = "2000 reis" if "reis" in text else "25 tinne"
    found, graded = date_and_grade(read_words(text), value, ["1934 C", "1934 S"])
    assert (found.upper(), graded) == (date.upper(), grade)


def test_a_letter_is_a_mints_where_the_coin_has_such_a_date() -> None:
    asked = read_words("10 pf 1934 F")
    assert date_and_grade(asked, "10 pfennig", ["1934 F"]) == ("1934 F", "")
    assert date_and_grade(asked, "10 pfennig", ["1934"]) == ("1934", "F")


# ---- which coins answer ----
@pytest.fixture
def packs(db: None) -> None:
    for name in ("euro", "united-states", "halvern"):
        call_command("load_pack", f"fixtures/packs/{name}", verbosity=0)


FINDS = [
    ("5sund", "5 sund"),
    ("€2", "2 euro"),
    ("2€", "2 euro"),
    ("1c", "1 cent"),
    ("2 euro germany", "2 euro"),
    ("2 euro de", "2 euro"),
    ("2 euro deutschland", "2 euro"),
    ("penny 1943", "1 cent"),
    ("penny 1990", "1 cent"),
    ("25¢", "quarter dollar"),
    ("25 tinne 1934 C", "25 tinne"),
    ("5 sund, 1940", "5 sund"),
    ("½ crown", "half crown"),
    ("6 groats", "half crown"),
    ("1/2 marl", "50 tinne"),
]


def test_signs_amounts_dates_and_members_of_a_union_find_what_they_mean(
    packs: None, make_member: Any
) -> None:
    viewer = make_member("ana")
    first = {}
    for text, _value in FINDS:
        found = find_types(viewer, text)
        first[text] = found[0].denomination.name if found else ""
    assert first == dict(FINDS)


def test_the_countries_of_the_euro_in_the_pack_are_those_of_the_regulation(
    packs: None, make_member: Any
) -> None:
    # Council Regulation (EC) No 2866/98, Article 1, as amended: the states with a rate.
    viewer = make_member("ana")
    for name in ("France", "Italy", "Greece", "Estonia", "Croatia"):
        assert find_types(viewer, f"2 euro {name}")[0].series.issuer.key == "euro-area"
    assert find_types(viewer, "2 euro Halvern") == []


@pytest.fixture
def penny(coinage: Any) -> CoinType:
    """A penny of a country of its own, struck from 1931 to 1953, by name and not by value."""
    denomination = Denomination.objects.create(
        key="penny", currency=coinage.currency, name="penny", value_numerator=1
    )
    made = CoinType.objects.create(
        key="penny", series=coinage.series, denomination=denomination,
        first_year=1931, last_year=1953,
    )  # fmt: skip
    derive_types()
    return made


def test_a_date_chooses_among_the_types_that_run_through_it(
    penny: CoinType, member: Member
) -> None:
    later = CoinType.objects.create(
        key="later", series=penny.series, denomination=penny.denomination,
        first_year=1954, last_year=1970,
    )  # fmt: skip
    derive_types()
    assert find_types(member, "penny 1943") == [penny]
    assert find_types(member, "penny 1960") == [later]
    assert {each.pk for each in find_types(member, "penny 1990")} == {penny.pk, later.pk}


def test_the_date_and_grade_come_with_the_coin(
    as_member: Client, member: Member, penny: CoinType
) -> None:
    (option,) = type_options([penny], "penny 1943 VF")
    assert (option["date"], option["grade"]) == ("1943", "VF")
    sent = {"type_text": "penny 1943 VF", "grade_scale": "british", "quantity": "1"}
    as_member.post("/holdings/quick/", sent)
    made = Holding.objects.get()
    assert (made.coin_type, made.date_reading, made.grade) == (penny, "1943", "VF")


def test_a_date_alone_means_the_coin_entered_last(
    as_member: Client, member: Member, coinage: Any
) -> None:
    CoinType.objects.create(
        key="other", series=coinage.series, denomination=coinage.denomination,
        first_year=1900, last_year=1990,
    )  # fmt: skip
    derive_types()
    for pk in (coinage.type.pk, CoinType.objects.get(key="other").pk):
        assert find_types(member, "1947", last=pk)[0].pk == pk


def test_a_country_without_coins_says_so_and_offers_to_begin_it(
    member: Member, coinage: Any
) -> None:
    derive_types()
    words = nothing_found(member, "5 dollars Simbabwe")
    assert "no coins of Zimbabwe yet" in words
    assert "/types/new/?country=Zimbabwe" in words
    Issuer.objects.create(key="oerland", name="Oerland")
    assert "/types/new/?issuer=oerland" in nothing_found(member, "1 ore oerland")
    assert "href" not in nothing_found(member, "1 ore testland")
    assert "Zimbabwe" in read_type(member, "5 zimbabwe").error


def test_words_of_a_text_are_not_taken_for_markup(member: Member, coinage: Any) -> None:
    Issuer.objects.create(key="odd", name="<b>Odd</b>")
    assert "<b>" not in nothing_found(member, "1 <b>Odd</b>")


def test_a_countrys_later_money_comes_after_its_own(member: Member, coinage: Any) -> None:
    union = Issuer.objects.create(key="union", name="Union")
    money = Currency.objects.create(key="sund", name="sund")
    money.issuers.add(union)
    Currency.objects.filter(pk=coinage.currency.pk).update(successor=money)
    series = Series.objects.create(key="u", issuer=union, currency=money, name="Shared")
    value = Denomination.objects.create(key="5", currency=money, name="5 sund", value_numerator=5)
    shared = CoinType.objects.create(key="s", series=series, denomination=value, last_year=1999)
    Issue.objects.create(coin_type=shared, key="1999", shown="1999", struck_from=1999)
    derive_types()
    assert find_types(member, "testland") == [coinage.type, shared]
    assert find_types(member, "5 testland") == [shared]
