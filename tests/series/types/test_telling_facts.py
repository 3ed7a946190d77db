"""Records as a talk tells them, in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from series.models import (
    CoinType,
    Currency,
    CurrencyUnit,
    Face,
    FaceMotif,
    Issuer,
    Mark,
    Motif,
    PriceNote,
    SeriesDenomination,
)
from series.telling.story import ChangeOfMoney, MarkTold, MotifTold, PieceTold, UnitTold, ValueTold
from series.types import telling_facts
from series.types.telling_facts import Shown
from tests.conftest import Coinage
from tests.series.coinage_maker import add_issue, add_series, add_type, motif

pytestmark = pytest.mark.django_db


def queries(work: Callable[[], Any]) -> int:
    with CaptureQueriesContext(connection) as seen:
        work()
    return len(seen)


# ---- coins ----
def test_a_type_is_told_with_all_that_is_recorded(coinage: Coinage) -> None:
    coin = add_type(coinage, 5, name="wartime", composition="zinc", note="Cut from plate.")
    Motif.objects.filter(key="gull").update(note="It follows the boats.")
    (story,) = telling_facts.stories([Shown(coin.pk)])
    assert story is not None
    assert (story.denomination, story.country, story.series) == ("5 tinne", "Testland", "First")
    assert (story.name, story.note, story.amount) == (
        "wartime",
        "Cut from plate.",
        Fraction(5, 100),
    )
    assert story.face("obverse").motifs == (
        MotifTold("gull", "in flight", "It follows the boats."),
    )
    assert [legend.text for legend in story.face("obverse").legends] == ["TESTLAND"]
    assert story.marks == (MarkTold("mint", "S", "reverse", Decimal(6)),)
    assert (story.date, story.piece) == (None, None)


def test_a_piece_is_told_with_its_date_in_the_run_and_its_own_marks(coinage: Coinage) -> None:
    coin = add_type(coinage, 5)
    Mark.objects.create(coin_type=coin, kind="mint", text="C", side="reverse", clock=6)
    Mark.objects.create(coin_type=coin, kind="signature", text="A.M.", side="obverse", on_all=True)
    issue = coin.issues.get(key="1932")
    issue.marks.add(Mark.objects.get(coin_type=coin, text="S"))
    add_issue(coin, 1934, fact="not_struck")
    add_issue(coin, 1932, key="1932-c", mark_text="C")
    piece = PieceTold("very fine", 32, ("cleaned",))
    (story,) = telling_facts.stories([Shown(coin.pk, issue.pk, piece)])
    assert story is not None
    assert story.date is not None
    assert (story.date.run, story.date.place) == (("1931", "1932", "1933"), (2, 3))
    assert sorted(mark.text for mark in story.marks) == ["A.M.", "S"]
    assert story.piece == piece


def test_a_type_that_is_gone_has_no_story_and_one_in_the_bin_has(coinage: Coinage) -> None:
    coinage.type.bin()
    there, gone = telling_facts.stories([Shown(coinage.type.pk), Shown(0)])
    assert there is not None
    assert gone is None


def test_the_stories_of_forty_stops_take_no_more_queries_than_those_of_two(
    coinage: Coinage,
) -> None:
    made = [add_type(coinage, n) for n in range(1, 41) if n != 25]
    shown = [Shown(coin.pk, coin.issues.all()[0].pk) for coin in made]
    few = queries(lambda: telling_facts.stories(shown[:2]))
    assert queries(lambda: telling_facts.stories(shown)) == few
    assert few <= 16


# ---- openings ----
def test_a_country_is_told_with_its_money_and_what_it_followed(coinage: Coinage) -> None:
    before = Issuer.objects.create(key="before", name="Testland, Harbour Board")
    coinage.issuer.predecessors.add(before)
    coinage.currency.issuers.add(coinage.issuer)
    Currency.objects.filter(pk=coinage.currency.pk).update(first_year=1931, last_year=1959)
    found = telling_facts.country_openings([coinage.issuer.pk])[coinage.issuer.pk]
    assert found.predecessors == ("Testland, Harbour Board",)
    assert ("marl", 1931, 1959) in found.currencies


def test_a_currency_is_told_with_its_units_laws_and_prices(coinage: Coinage) -> None:
    marl = coinage.currency
    marl.units.all().delete()
    CurrencyUnit.objects.create(currency=marl, name="tinne", plural="tinne", per_main="100")
    new = Currency.objects.create(key="new", name="new marl", plural="new marls")
    Currency.objects.filter(pk=marl.pk).update(
        plural="marls", successor=new, rate="10", rate_from=date(1960, 1, 4)
    )
    PriceNote.objects.create(currency=marl, year=1920, amount="100 tinne", bought="4 loaves")
    law = ChangeOfMoney("marl", "marls", "new marl", "new marls", "10", date(1960, 1, 4))
    found = telling_facts.currency_openings([marl.pk, new.pk])
    assert (found[marl.pk].became, found[new.pk].replaced) == (law, (law,))
    assert found[marl.pk].units == (
        UnitTold("marl", "marls", Fraction(1)),
        UnitTold("tinne", "tinne", Fraction(100)),
    )
    assert [price.bought for price in found[marl.pk].prices] == ["4 loaves"]


def test_a_series_is_told_with_what_is_lacking_and_what_never_was(coinage: Coinage) -> None:
    lowest, never = add_type(coinage, 1, last_year=1934), add_type(coinage, 50)
    SeriesDenomination.objects.create(
        series=coinage.series, denomination=never.denomination, not_struck=True
    )
    never.delete()
    opening = telling_facts.series_openings([coinage.series.pk], held={coinage.type.pk})[
        coinage.series.pk
    ]
    first, *_, last = opening.values
    assert first == ValueTold("1 tinne", lowest.first_year, 1934, held=False)
    assert (last.denomination, last.not_struck) == ("50 tinne", True)
    assert {value.denomination for value in opening.values if value.held} == {"25 tinne"}


def test_without_holdings_nothing_is_said_of_what_is_held(coinage: Coinage) -> None:
    opening = telling_facts.series_openings([coinage.series.pk])[coinage.series.pk]
    assert {value.held for value in opening.values} == {None}


@pytest.mark.parametrize(
    ("others", "gap"),
    [
        ([("old", 1900, 1910), ("older", 1880, 1890)], ("Old", 1910)),
        ([("old", 1900, 1910), ("running", 1905, 1940)], ("", None)),
        ([("endless", 1900, None)], ("", None)),
        ([], ("", None)),
    ],
)
def test_the_gap_before_a_series_is_where_no_other_went_on(
    coinage: Coinage, others: list[tuple[str, int, int]], gap: tuple[str, int | None]
) -> None:
    for key, start, end in others:
        add_series(coinage, key, start, end)
    opening = telling_facts.series_openings([coinage.series.pk])[coinage.series.pk]
    assert (opening.before, opening.before_ended) == gap


def test_openings_of_many_take_no_more_queries_than_those_of_one(coinage: Coinage) -> None:
    series = [add_series(coinage, f"s{n}", 1900 + n, 1901 + n) for n in range(8)]
    for n, each in enumerate(series):
        add_type(coinage, n + 1, series=each)
    ids = [each.pk for each in series]
    few = queries(lambda: telling_facts.series_openings(ids[:1]))
    assert queries(lambda: telling_facts.series_openings(ids)) == few


def test_a_type_without_faces_is_told_too(coinage: Coinage) -> None:
    bare = CoinType.objects.create(
        key="bare", series=coinage.series, denomination=coinage.denomination
    )
    assert not Face.objects.filter(coin_type=bare).exists()
    assert not FaceMotif.objects.filter(motif=motif("gull"), face__coin_type=bare).exists()
    (story,) = telling_facts.stories([Shown(bare.pk)])
    assert story is not None
    assert story.faces == ()
