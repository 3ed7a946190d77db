"""A type from a few fields: its country, money, value and series are found or made with it."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Member, Proposal
from series.models import CoinType, Currency, Denomination, Issuer, Pack, Series
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db

SKER = {
    "country": "Sker Rocks",
    "begin": "on",
    "money": "1 marl = 100 tinne",
    "value": "25 tinne",
    "dates": "1921–26, 1928 S",
    "composition": "brass",
    "outline": "round",
    "purpose": "circulating",
}


def post(client: Client, **fields: Any) -> Any:
    return client.post(reverse("type-new"), SKER | fields)


def understood(client: Client, address: str = "", **fields: Any) -> str:
    """What the page says back while one types."""
    answer = client.post(
        address or reverse("type-new"), SKER | fields, headers={"HX-Request": "true"}
    )
    assert answer.status_code == 200
    return answer.content.decode()


def test_one_form_makes_all_of_it_from_nothing(as_member: Client) -> None:
    answer = post(as_member)
    made = CoinType.objects.get()
    assert answer["Location"] == f"{made.get_absolute_url()}?new"
    assert made.series.issuer.name == "Sker Rocks"
    assert (made.series.name, made.series.first_year) == ("First coinage", 1921)
    assert made.denomination.value == Fraction(1, 4)
    assert [(u.name, u.per_main) for u in made.series.currency.units.all()] == [("tinne", "100")]
    assert (made.metal, made.issues.count()) == ("brass", 7)
    page = as_member.get(answer["Location"]).content.decode()
    assert "What next?" in page
    assert reverse("date-run", args=[made.key]) in page
    assert reverse("type-like", args=[made.key]) in page


def test_a_second_type_joins_what_the_first_one_made(as_member: Client) -> None:
    post(as_member)
    post(as_member, begin="", money="", country=" sker  rocks ", value="1 marl", dates="1930")
    assert [m.objects.count() for m in (Issuer, Currency, Series)] == [1, 1, 1]
    assert sorted(Denomination.objects.values_list("name", flat=True)) == ["1 marl", "25 tinne"]


def test_a_type_older_than_a_series_of_the_clubs_own_begins_it_earlier(as_member: Client) -> None:
    post(as_member)
    post(as_member, value="1 marl", dates="1919")
    assert Series.objects.get().first_year == 1919


@pytest.mark.parametrize(
    "wrong",
    [{"dates": "1926–21"}, {"value": "25 ore"}, {"begin": ""}, {"composition": "Cu75Ni35"},
     {"money": "1 marl = tinne"}, {"mass_g": "-1"}],
)  # fmt: skip
def test_nothing_is_made_and_nothing_lost_when_one_field_is_wrong(
    as_member: Client, wrong: dict[str, str]
) -> None:
    answer = post(as_member, **wrong)
    assert answer.status_code == 200
    for model in (Issuer, Currency, Denomination, Series, CoinType):
        assert not model.objects.exists()
    page = answer.content.decode()
    for text in (SKER | wrong).values():
        assert text.replace("–", "–") in page or text == "on"


def test_a_failure_while_saving_leaves_no_country_behind(
    as_member: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_args: Any) -> None:
        raise RuntimeError("the disk is full")

    monkeypatch.setattr("catalogue.curation.type_form.save_parts", fail)
    with pytest.raises(RuntimeError):
        post(as_member)
    assert not Issuer.objects.exists()
    assert not Currency.objects.exists()


def test_a_slip_in_the_name_of_a_country_asks_after_the_one_meant(
    as_member: Client, coinage: Coinage
) -> None:
    answer = post(as_member, country="Testlnad", begin="")
    page = answer.content.decode()
    assert "Did you mean Testland?" in page
    assert "Begin Testlnad" in page
    assert Issuer.objects.count() == 1


def test_a_unit_that_is_explained_is_known_from_then_on(
    as_member: Client, coinage: Coinage
) -> None:
    said: dict[str, str] = {"country": "Testland", "begin": "", "money": "", "dates": "1940"}
    post(as_member, **said, value="3 ore = 6 tinne")
    post(as_member, **said, value="5 ore")
    values = {d.name: d.value for d in Denomination.objects.filter(name__endswith="ore")}
    assert values == {"3 ore": Fraction(3, 50), "5 ore": Fraction(1, 10)}


def test_the_series_of_these_years_is_taken_and_else_a_new_one_begun(
    as_member: Client, coinage: Coinage
) -> None:
    said: dict[str, str] = {"country": "Testland", "begin": "", "money": ""}
    later = Series.objects.create(
        key="later",
        issuer=coinage.issuer,
        currency=coinage.currency,
        name="Later",
        first_year=1960,
        last_year=1970,
    )
    for name, dates in (("a", "1950"), ("b", "1961–65"), ("c", "1980–82")):
        post(as_member, **said, dates=dates, name=name)
    where = {t.name: t.series.name for t in CoinType.objects.exclude(name="")}
    assert where == {"a": "First", "b": later.name, "c": "Coinage of 1980"}


def test_a_series_of_another_country_is_refused_with_the_cure(
    as_curator: Client, coinage: Coinage
) -> None:
    answer = post(as_curator, series=coinage.series.pk)
    assert "First is a series of Testland" in answer.content.decode()
    assert not Issuer.objects.filter(name="Sker Rocks").exists()


def test_a_member_adds_no_value_and_no_series_to_a_country_of_a_pack(
    as_member: Client, coinage: Coinage
) -> None:
    pack = Pack.objects.create(key="p", title="P")
    for record in (coinage.issuer, coinage.currency, coinage.series):
        record.pack = pack
        record.save()
    said: dict[str, str] = {"country": "Testland", "begin": "", "money": ""}
    answer = post(as_member, **said, value="50 tinne", dates="1940")
    assert "It has 25 tinne" in answer.content.decode()
    answer = post(as_member, **said, dates="1990")
    assert "curators add its money, values and series" in answer.content.decode()
    post(as_member, **said, dates="1940", name="own")
    assert CoinType.objects.get(name="own").standing == CoinType.Standing.PROPOSED
    assert Series.objects.count() == Denomination.objects.count() == 1


def test_a_member_s_new_country_is_theirs_to_use_and_a_curator_hears_of_it(
    as_member: Client, member: Member
) -> None:
    post(as_member)
    assert CoinType.objects.get().standing == CoinType.Standing.PROVISIONAL
    assert Proposal.objects.get().proposed_by == member


def test_a_figure_alone_is_in_the_unit_of_the_type_one_starts_from(as_member: Client) -> None:
    post(as_member)
    first = CoinType.objects.get()
    as_member.post(
        reverse("type-like", args=[first.key]),
        {"country": "Sker Rocks", "value": "5", "outline": "round", "purpose": "circulating"},
    )
    second = CoinType.objects.exclude(pk=first.pk).get()
    assert (second.denomination.name, second.denomination.value) == ("5 tinne", Fraction(1, 20))


# ---- what is said while one types ----
def test_each_small_language_is_said_back(as_member: Client) -> None:
    page = understood(
        as_member,
        marks="S mint Saltmouth reverse 6 below the net",
        reverse_legends="25 TINNE | | value",
        reverse_motifs="net: on poles, by night",
        obverse_designers="Ada Moy; Bo Sund",
        references="Moy, Coins | 14",
        citations="Coinage Act, 1921: section 4",
        tender_until="1968-12-31",
        composition="Cu75Ni25",
    )
    for words in (
        "7 dates: 1921–26, 1928 S",
        "the mint mark of Saltmouth, on the reverse at 6 o&#x27;clock, below the net",
        "1 legend: “25 TINNE”, meaning “value”",
        "1 motif: net (on poles, by night)",
        "2 people: Ada Moy and Bo Sund",
        "number 14 in Moy, Coins",
        "Coinage Act, 1921, at section 4",
        "31 December 1968",
        "copper-nickel",
        "¼ marl, a new value of the marl",
        "1 marl = 100 tinne",
        "A new series, “First coinage”, is begun.",
    ):
        assert words in page
    assert not Issuer.objects.exists()


def test_a_country_is_offered_to_begin_before_its_value_is_typed(
    as_member: Client, coinage: Coinage
) -> None:
    page = understood(as_member, value="", money="", begin="")
    assert "Begin Sker Rocks" in page
    assert "begins" in page.partition('id="begin-said"')[2].partition(">")[0]
    page = understood(as_member, country="Testland", value="", money="", begin="")
    assert "begins" not in page.partition('id="begin-said"')[2].partition(">")[0]


def test_what_cannot_be_read_is_said_at_once_and_an_empty_field_is_not_yet_wrong(
    as_member: Client,
) -> None:
    page = understood(as_member, value="", dates="1926–21")
    assert "runs backwards" in page
    assert "This field is required" not in page


def test_folds_say_what_they_hold_and_open_on_a_change(
    as_curator: Client, coinage: Coinage
) -> None:
    page = as_curator.get(reverse("type-new"))
    folds = {fold.key: fold for fold in page.context["understood"].folds()}
    assert folds["faces"].holds == "nothing yet"
    assert not any(fold.open for fold in folds.values())
    post(as_curator, reverse_legends="A\nB", reverse_motifs="lighthouse", edge="reeded")
    made = CoinType.objects.exclude(pk=coinage.type.pk).get()
    page = as_curator.get(reverse("type-edit", args=[made.key]))
    folds = {fold.key: fold for fold in page.context["understood"].folds()}
    assert folds["faces"].holds == "2 legends, lighthouse"
    assert {key for key, fold in folds.items() if fold.open} == {"faces", "edge"}
    assert folds["series"].holds == "First coinage"


def test_a_type_moves_to_another_country_with_its_dates(
    as_curator: Client, coinage: Coinage
) -> None:
    address = reverse("type-edit", args=[coinage.type.key])
    form = as_curator.get(address).context["form"]
    sent = {b.name: "" if b.value() is None else b.value() for b in form}
    issues = set(coinage.type.issues.values_list("pk", flat=True))
    as_curator.post(address, sent | {"country": "Sker Rocks", "begin": "on", "value": "25 sund"})
    moved = CoinType.objects.get(pk=coinage.type.pk)
    assert (moved.series.issuer.name, moved.denomination.name) == ("Sker Rocks", "25 sund")
    assert set(moved.issues.values_list("pk", flat=True)) == issues


def test_a_stale_move_begins_no_country(as_curator: Client, coinage: Coinage) -> None:
    address = reverse("type-edit", args=[coinage.type.key])
    form = as_curator.get(address).context["form"]
    old = {b.name: "" if b.value() is None else b.value() for b in form}
    as_curator.post(address, old | {"name": "theirs"})
    answer = as_curator.post(
        address, old | {"country": "Sker Rocks", "begin": "on", "value": "25 sund"}
    )
    shown = {(d.stored, d.yours) for d in answer.context["form"].stale}
    assert {("Testland", "Sker Rocks"), ("25 tinne", "25 sund")} <= shown
    assert not Issuer.objects.filter(name="Sker Rocks").exists()


@pytest.mark.parametrize(
    "odd",
    [
        {"diameter_mm": "999"},
        {"diameter_mm": "0.01"},
        {"outline": "polygon", "sides": "32000"},
        {"hole": "round", "hole_mm": "99", "diameter_mm": "20"},
        {"reverse_legends": "<script>&" * 30},
        {"value": "&<x>"},
    ],
)
def test_any_measure_and_text_can_be_drawn(as_member: Client, odd: dict[str, str]) -> None:
    page = understood(as_member, **odd)
    assert 'class="draft-coins"' in page
    assert "<script>" not in page
    assert "nan" not in page


def test_the_empty_site_says_how_to_begin(as_member: Client) -> None:
    page = as_member.get(reverse("countries")).content.decode()
    assert "Begin with a coin in your hand" in page
    assert f'href="{reverse("type-new")}"' in page


def test_a_country_needs_its_name_and_its_money_alone(as_member: Client) -> None:
    answer = as_member.post(reverse("country-start"), {"name": "Sker Rocks", "currency": "marl"})
    assert answer["Location"] == "/types/new/?series=sker-rocks-first-coinage"
    post(as_member, begin="", money="", value="5 marl")
    assert CoinType.objects.get().series.name == "First coinage"


def test_the_page_asks_the_database_no_more_for_many_countries(
    as_curator: Client, coinage: Coinage, django_assert_max_num_queries: Callable[[int], Any]
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    said: dict[str, str] = {"country": "Testland", "begin": "", "money": ""}
    with CaptureQueriesContext(connection) as few:
        understood(as_curator, **said)
    for number in range(20):
        Issuer.objects.create(key=f"i{number}", name=f"I {number}")
    with django_assert_max_num_queries(len(few)):
        understood(as_curator, **said)
