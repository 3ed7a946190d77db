"""A talk is made of a selection: which pieces, in which order, with which gaps."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Aim, Holding, Member, Stop, Talk
from catalogue.talks import proposing
from catalogue.talks.changing import put_in
from catalogue.talks.proposing import MOST_STOPS, TooManyStops
from series.models import CoinType

NEW = {"title": "The quay", "which": "dates", "order": "ladder", "openings": "on"}


def _address(query: str = "") -> str:
    return f"{reverse('talk-new')}?{query}"


def test_a_talk_is_made_of_what_an_address_finds(
    as_member: Client, pieces: list[Holding], absent: CoinType, coinage: Any
) -> None:
    sent = {**NEW, "missing": [absent.pk]}
    answer = as_member.post(_address(f"series={coinage.series.pk}"), sent)
    made = Talk.objects.get()
    assert answer["Location"] == made.get_absolute_url()
    stops = list(made.stops.all())
    assert [stop.kind for stop in stops] == [
        "country", "currency", "piece", "piece", "piece", "type",
    ]  # fmt: skip
    assert [stop.holding for stop in stops if stop.kind == "piece"] == pieces
    assert all(stop.notes for stop in stops)


def test_the_title_and_the_gaps_are_proposed(
    as_member: Client, pieces: list[Holding], absent: CoinType, coinage: Any
) -> None:
    page = as_member.get(_address(f"series={coinage.series.pk}"))
    form = page.context["form"]
    assert form["title"].value() == "First"
    assert list(form.fields["missing"].queryset) == [absent]
    assert form["missing"].value() == [absent.pk]


def test_without_a_ladder_chosen_no_gap_is_proposed(
    as_member: Client, pieces: list[Holding], absent: CoinType
) -> None:
    form = as_member.get(_address()).context["form"]
    assert not form.fields["missing"].queryset.exists()


def test_of_each_type_the_best_piece_is_shown(
    member: Member, make_holding: Callable[..., Holding], coinage: Any
) -> None:
    for rank in (12, 45, 20):
        make_holding(issue=coinage.issues[0], grade_rank=rank)
    photographed = make_holding(issue=coinage.issues[1], grade_rank=8)
    photographed.photos.create(side="reverse", digest="d", width=9, height=9)
    best = {
        which: [line.piece for line in proposing.lines_of(member, "", which)]
        for which in ("best", "dates", "all")
    }
    assert best["best"] == [photographed.pk]
    assert [Holding.objects.get(pk=pk).grade_rank for pk in best["dates"] if pk] == [45, 8]
    assert len(best["all"]) == 4


def test_only_ones_own_pieces_are_taken(
    as_member: Client, pieces: list[Holding], other: Member, make_holding: Callable[..., Holding]
) -> None:
    theirs = make_holding(owner=other)
    as_member.post(_address(f"holding={theirs.pk}&holding={pieces[0].pk}&owner=any"), NEW)
    assert [stop.holding for stop in Stop.objects.filter(kind="piece")] == [pieces[0]]


def test_a_talk_of_too_many_stops_says_what_to_do(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    Holding.objects.bulk_create(
        [
            Holding(owner=Member.objects.get(username="ana"), accession=f"B.{n}", title="a disc")
            for n in range(MOST_STOPS + 1)
        ]
    )
    page = as_member.post(_address(), {**NEW, "which": "all"})
    assert f"at most {MOST_STOPS}" in page.content.decode()
    assert not Talk.objects.exists()
    lines = proposing.lines_of(Member.objects.get(username="ana"), "", "all")
    with pytest.raises(TooManyStops, match=str(MOST_STOPS)):
        proposing.stops_for(lines, "date", with_openings=False)


def test_no_more_stops_are_put_in_than_a_talk_holds(talk: Talk) -> None:
    before = talk.stops.count()
    with pytest.raises(TooManyStops):
        put_in(talk, [Stop(kind="text", heading="x") for _ in range(MOST_STOPS)])
    assert talk.stops.count() == before


def test_an_aim_and_a_series_lead_to_a_talk(
    as_member: Client, member: Member, pieces: list[Holding], coinage: Any
) -> None:
    aim = Aim.objects.create(owner=member, name="All", series=coinage.series)
    asked = f"{reverse('talk-new')}?series={coinage.series.pk}"
    for page in (aim, coinage.series):
        assert asked in as_member.get(page.get_absolute_url()).content.decode()
    country = as_member.get(coinage.issuer.get_absolute_url()).content.decode()
    assert f"{reverse('talk-new')}?country={coinage.issuer.pk}" in country


def test_ticked_pieces_lead_to_a_talk(as_member: Client, pieces: list[Holding]) -> None:
    sent = {"holding": [pieces[2].pk, pieces[0].pk], "sheet": "talk"}
    answer = as_member.post(reverse("chosen-sheet"), sent)
    assert answer["Location"].startswith(reverse("talk-new"))
    as_member.post(answer["Location"], NEW)
    held = Stop.objects.filter(kind="piece").values_list("holding", flat=True)
    assert list(held) == [pieces[0].pk, pieces[2].pk]
