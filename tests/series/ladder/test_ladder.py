"""The list of countries, and a country's ladder, timeline and motifs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from catalogue.models import Holding
from series.issuers.queries import countries_with_counts
from series.ladder.queries import ladder
from series.models import Currency, Denomination, Issuer, PriceNote, SeriesDenomination
from tests.conftest import Coinage
from tests.markup import markup
from tests.series.coinage_maker import add_series, add_type, motif

COUNTRY = "/countries/testland/"


def page(client: Client, address: str) -> str:
    response = client.get(address)
    assert response.status_code == 200
    return markup(response.content.decode())


# ---- countries ----
def test_countries_are_listed_with_what_they_struck(as_member: Client, coinage: Coinage) -> None:
    html = page(as_member, reverse("countries"))
    assert "Testland" in html
    assert "1 type, 1 series" in html
    assert "you hold none yet" in html


def test_countries_are_listed_by_name(as_member: Client, coinage: Coinage) -> None:
    for name in ("Zedland", "Aland"):
        Issuer.objects.create(key=name.lower(), name=name)
    html = page(as_member, reverse("countries"))
    assert html.index("Aland") < html.index("Zedland")
    assert [each.name for each in countries_with_counts()] == ["Aland", "Testland", "Zedland"]


def test_a_country_goes_on_as_long_as_one_of_its_series(
    as_member: Client, coinage: Coinage
) -> None:
    assert "1931–1959" in page(as_member, reverse("countries"))
    late = add_series(coinage, "late", 1960, 1988)
    assert "1931–1988" in page(as_member, reverse("countries"))
    late.last_year = None
    late.save()
    html = page(as_member, reverse("countries"))
    assert "from 1931" in html
    late.first_year = None
    late.save()
    assert "1931–1959" in page(as_member, reverse("countries"))


def test_the_list_says_what_the_viewer_holds(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    make_holding(quantity=3)
    assert "you hold 1 of them, in 3 pieces" in page(as_member, reverse("countries"))


def test_what_others_hold_is_not_counted(
    as_member: Client, make_holding: Callable[..., Holding], other: Any
) -> None:
    make_holding(owner=other)
    assert "you hold none yet" in page(as_member, reverse("countries"))


def test_without_a_country_the_page_says_what_to_do(as_member: Client) -> None:
    assert "No country yet" in page(as_member, reverse("countries"))


def test_a_visitor_is_asked_to_sign_in(client: Client, coinage: Coinage) -> None:
    response = client.get(COUNTRY)
    assert response.status_code == 302
    assert response["Location"].startswith("/sign-in/")


# ---- ladder ----
def test_a_cell_shows_the_coin_its_size_its_metal_and_its_dates(
    as_member: Client, coinage: Coinage
) -> None:
    html = page(as_member, COUNTRY)
    assert "23.5\u00a0mm, copper-nickel" in html
    assert "0 of 3 dates held" in html


def test_a_coin_without_single_dates_says_its_years(as_member: Client, coinage: Coinage) -> None:
    coinage.type.issues.all().delete()
    html = page(as_member, COUNTRY)
    assert "1931–1953</span>" in html
    assert "no dates recorded" not in html


def test_dates_held_are_filled(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    make_holding(issue=coinage.issues[1])
    html = page(as_member, COUNTRY)
    assert "1 of 3 dates held" in html
    assert html.count('class="box-held"') == 1


def test_a_piece_sold_is_no_longer_held(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    make_holding(issue=coinage.issues[1], status="sold")
    assert "0 of 3 dates held" in page(as_member, COUNTRY)


def test_not_struck_and_not_recorded_are_told_apart(as_member: Client, coinage: Coinage) -> None:
    late = add_series(coinage, "late", 1960, 1970)
    other = add_type(coinage, 5)
    assert "not recorded" in page(as_member, COUNTRY)
    for denomination in (coinage.denomination, other.denomination):
        SeriesDenomination.objects.create(
            series=late, denomination=denomination, not_struck=True, note="paper only"
        )
    html = page(as_member, COUNTRY)
    assert html.count("not struck") == 2
    assert "not recorded" not in html
    assert "paper only" in html


def test_several_types_may_stand_in_one_cell(coinage: Coinage) -> None:
    second = {"metal": "steel", "first_year": 1942, "denomination": coinage.denomination}
    add_type(coinage, 25, key="second", **second)
    parts = ladder(coinage.issuer)
    cells = [c for row in parts[0].rows for c in row.cells if c.series == coinage.series]
    assert ["copper-nickel", "steel"] in [[t.metal for t in cell.types] for cell in cells]


def test_denominations_stand_by_value_and_series_by_year(coinage: Coinage) -> None:
    add_series(coinage, "earlier", 1919, 1930)
    add_type(coinage, 5)
    (part,) = ladder(coinage.issuer)
    assert [row.denomination.name for row in part.rows] == ["5 tinne", "25 tinne"]
    assert [series.name for series in part.series] == ["Earlier", "First"]


def test_a_coin_of_unknown_size_is_marked_and_the_mark_explained(
    as_member: Client, coinage: Coinage
) -> None:
    note = "marks a coin whose size is not recorded; it is drawn 22\u00a0mm wide."
    assert note not in page(as_member, COUNTRY)
    add_type(coinage, 5, diameter_mm=None)
    html = page(as_member, COUNTRY)
    assert note in html
    assert "size not recorded, bronze" in html
    assert html.count('class="coin-supposed"') == 1


def test_a_proposed_type_is_not_on_the_ladder(as_member: Client, coinage: Coinage) -> None:
    add_type(coinage, 5, standing="proposed", metal="platinum")
    add_type(coinage, 10, withdrawn=True, metal="platinum")
    assert "platinum" not in page(as_member, COUNTRY)


def test_each_currency_has_a_part_and_the_rate_between_them_is_said(
    as_member: Client, coinage: Coinage
) -> None:
    new = Currency.objects.create(key="new-marl", name="new marl", first_year=1960)
    new.issuers.add(coinage.issuer)
    Denomination.objects.create(key="new-1", currency=new, name="1 new marl", value_numerator=1)
    Currency.objects.filter(pk=coinage.currency.pk).update(
        successor=new, rate="100", rate_from=date(1960, 1, 4), plural="marls"
    )
    html = page(as_member, COUNTRY)
    assert "100 marls became 1 new marl on 4 January 1960." in html
    assert "No series of this currency is recorded yet." in html


def test_a_denomination_of_a_shared_currency_shows_only_where_it_was_struck(
    coinage: Coinage,
) -> None:
    from series.models import Issuer

    Issuer.objects.create(key="elsewhere", name="Elsewhere").currencies.add(coinage.currency)
    Denomination.objects.create(
        key="testland-99", currency=coinage.currency, name="99 tinne", value_numerator=99
    )
    (part,) = ladder(coinage.issuer)
    assert [row.denomination.name for row in part.rows] == ["25 tinne"]


def test_the_last_row_says_what_money_bought(as_member: Client, coinage: Coinage) -> None:
    for year, what in ((1938, "2 loaves"), (1990, "nothing")):
        PriceNote.objects.create(
            currency=coinage.currency, year=year, amount="100 tinne", bought=what
        )
    html = page(as_member, COUNTRY)
    assert "100 tinne bought" in html
    assert "2 loaves in 1938" in html
    assert "nothing in 1990" not in html  # no series of that year


def test_an_index_of_prices_becomes_the_worth_of_a_unit(
    as_member: Client, coinage: Coinage
) -> None:
    for year, index in ((1931, 100), (1959, 250)):
        PriceNote.objects.create(currency=coinage.currency, year=year, index=index)
    html = page(as_member, COUNTRY)
    assert "1 marl in money of 1931" in html
    assert "0.4 in 1959" in html


def test_a_country_without_series_says_what_to_do(as_member: Client, coinage: Coinage) -> None:
    coinage.issuer.currencies.clear()
    coinage.type.delete()
    coinage.series.delete()
    assert "No series yet" in page(as_member, COUNTRY)


def test_a_name_is_escaped(as_member: Client, coinage: Coinage) -> None:
    coinage.series.name = "<script>x</script>"
    coinage.series.save()
    assert "<script>x" not in page(as_member, COUNTRY)


def test_no_page_of_a_country_writes_a_style(as_member: Client, coinage: Coinage) -> None:
    add_type(coinage, 5)
    for name in ("country", "country-timeline", "country-motifs"):
        assert "style=" not in page(as_member, reverse(name, args=["testland"]))


@pytest.mark.parametrize("name", ["country", "country-timeline", "country-motifs"])
def test_an_unknown_country_is_not_found(as_member: Client, name: str) -> None:
    assert as_member.get(reverse(name, args=["nowhere"])).status_code == 404


# ---- the number of queries does not grow ----
def count_queries(client: Client, address: str) -> int:
    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


@pytest.mark.parametrize("name", ["countries", "country", "country-timeline", "country-motifs"])
def test_thirty_types_take_no_more_queries_than_three(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding], name: str
) -> None:
    address = reverse(name) if name == "countries" else reverse(name, args=["testland"])
    PriceNote.objects.create(currency=coinage.currency, year=1938, bought="2 loaves")
    for n in (1, 2, 3):
        make_holding(coin_type=add_type(coinage, n))
    few = count_queries(as_member, address)
    for n in range(31, 61):
        series = add_series(coinage, f"series-{n}", 1931, 1950)
        make_holding(coin_type=add_type(coinage, n, series=series))
    assert count_queries(as_member, address) == few


# ---- timeline ----
def test_the_timeline_has_a_bar_and_a_row_for_each_currency_and_series(
    as_member: Client, coinage: Coinage
) -> None:
    html = page(as_member, reverse("country-timeline", args=["testland"]))
    assert html.count('class="span-currency"') == html.count('class="span-series"') == 1
    assert "1 marl = 100 tinne" in html
    assert '<th scope="row"><a href="/series/testland-first/">First</a></th>' in html


def test_the_timeline_leads_to_countries_before_and_after(
    as_member: Client, coinage: Coinage
) -> None:
    from series.models import Issuer

    before = Issuer.objects.create(key="old", name="Old Testland", first_year=1890, last_year=1918)
    coinage.issuer.predecessors.add(before)
    html = page(as_member, reverse("country-timeline", args=["testland"]))
    assert 'href="/countries/old/"' in html
    assert html.count('class="span-country"') == 1  # Testland itself has no years


# ---- motifs ----
def test_a_coin_stands_under_its_motif_and_every_broader_one(
    as_member: Client, coinage: Coinage
) -> None:
    add_type(coinage, 5)
    motif("gull").broader.add(motif("bird"))
    motif("bird").broader.add(motif("animal"))
    motif("animal").broader.add(motif("gull"))  # a loop does no harm
    html = page(as_member, reverse("country-motifs", args=["testland"]))
    for name in ("Gull", "Bird", "Animal"):
        assert f">{name}</a></h2>" in html
    assert html.count("1 coin") == 3


def test_without_motifs_the_page_says_what_to_do(as_member: Client, coinage: Coinage) -> None:
    html = page(as_member, reverse("country-motifs", args=["testland"]))
    assert "No motif is recorded yet" in html
