"""When records come in, unidentified pieces are ranked again and their owners are told."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as site
from django.core import mail
from django.test import Client
from django.utils import timezone

from catalogue.identifying import chances
from catalogue.identifying import ranked_again as ranked
from catalogue.identifying.keeping import keep_identified, keep_open
from catalogue.identifying.ranked_again import LIKELY, news_for, rank_again, take_note
from catalogue.models import Holding, Member, Observation, Proposal
from series.identifying.evidence import read_evidence
from series.models import CoinType, Pack
from series.packs.load import load_pack
from series.signals import pack_loaded, types_changed
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db
CENT = {"diameter": "19", "mass": "2.5", "legend": "ONE C?NT", "year": "19?4", "colour": "brown"}
US = Path(site.BASE_DIR) / "fixtures" / "packs" / "united-states"
Commits = Callable[..., Any]


@pytest.fixture(autouse=True)
def at_once(settings: Any) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}


@pytest.fixture
def committed(django_capture_on_commit_callbacks: Commits) -> Callable[[], Any]:
    @contextmanager
    def run() -> Iterator[None]:
        with django_capture_on_commit_callbacks(execute=True):
            yield

    return run


def open_piece(owner: Member, **texts: str) -> Holding:
    return keep_open(owner, read_evidence(texts or CENT))


def likely(holding: Holding, coin_type: CoinType, probability: float = 0.93) -> None:
    """As if the piece had been ranked again, with this outcome."""
    Observation.objects.filter(holding=holding).update(
        likely_type=coin_type, probability=probability
    )


def told(client: Client, *news: Observation) -> Any:
    pairs = [f"{each.holding_id}-{each.likely_type_id}" for each in news]
    return client.post("/identify/told/", {"told": pairs, "back": "/holdings/"})


def test_a_pack_with_the_right_type_tells_its_owner_once(
    as_member: Client, client: Client, member: Member, other: Member, committed: Any
) -> None:
    piece, seashell = open_piece(member), open_piece(other, diameter="61", colour="black")
    assert news_for(member) == []
    with committed():
        load_pack(US)
    (news,) = news_for(member)
    assert news.holding == piece
    assert news.likely_type is not None
    assert news.likely_type.key == "us-1-cent-memorial-zinc"
    assert news.probability is not None
    assert news.probability >= LIKELY
    assert news_for(other) == []
    assert Observation.objects.get(holding=seashell).ranked_at > piece.created_at
    for address in ("/", "/holdings/"):
        page = as_member.get(address).text
        assert "1 unidentified piece has a likely type now" in page
        assert f"/identify/?holding={piece.pk}" in page
        assert f"({chances.said(news.probability)})" in page
    assert told(as_member, news)["Location"] == "/holdings/"
    assert news_for(member) == []
    with committed():
        pack_loaded.send(sender=Pack, pack=Pack.objects.get())
    assert Observation.objects.get(holding=piece).ranked_at > news.ranked_at
    assert news_for(member) == []
    assert "likely type now" not in as_member.get("/").text
    assert mail.outbox == []


def test_loading_again_does_not_tell_twice(member: Member, committed: Any) -> None:
    open_piece(member)
    with committed():
        load_pack(US)
        types_changed.send(sender=CoinType, type_ids=None)
    assert len(news_for(member)) == 1
    with committed():
        load_pack(US)
    assert len(news_for(member)) == 1


def test_ranking_waits_for_the_commit_and_is_done_once(
    member: Member, monkeypatch: pytest.MonkeyPatch, django_capture_on_commit_callbacks: Commits
) -> None:
    open_piece(member)
    ranks: list[Member] = []
    really = ranked.rank_observations

    def note(owner: Member, observations: Any) -> None:
        rows = list(observations)
        if rows:
            ranks.append(owner)
        really(owner, rows)

    monkeypatch.setattr(ranked, "rank_observations", note)
    with django_capture_on_commit_callbacks() as callbacks:
        types_changed.send(sender=CoinType, type_ids=None)
        pack_loaded.send(sender=Pack, pack=None)
    assert ranks == []
    asked = timezone.now().isoformat()
    rank_again.func(asked)
    rank_again.func(asked)
    assert ranks == [member]
    assert len(callbacks) == 2


def test_a_change_of_a_few_types_ranks_nothing(
    member: Member, django_capture_on_commit_callbacks: Commits, coinage: Coinage
) -> None:
    open_piece(member)
    with django_capture_on_commit_callbacks() as callbacks:
        types_changed.send(sender=CoinType, type_ids=[coinage.type.pk])
    assert callbacks == []


def test_with_nothing_open_no_task_is_asked_for(
    monkeypatch: pytest.MonkeyPatch, committed: Any, member: Member, coinage: Coinage
) -> None:
    keep_identified(member, read_evidence(CENT), coinage.type)
    asked: list[str] = []
    monkeypatch.setattr(type(rank_again), "enqueue", lambda self, at: asked.append(at))
    with committed():
        pack_loaded.send(sender=Pack, pack=None)
    assert asked == []
    open_piece(member)
    with committed():
        pack_loaded.send(sender=Pack, pack=None)
    assert len(asked) == 1


def test_what_a_member_may_not_see_is_not_ranked_for_them(
    member: Member, other: Member, coinage: Coinage
) -> None:
    coinage.type.standing = CoinType.Standing.PROPOSED
    coinage.type.save()
    Proposal.objects.create(coin_type=coinage.type, proposed_by=other)
    types_changed.send(sender=CoinType, type_ids=[coinage.type.pk])
    seen = {"diameter": "23.5", "mass": "5.4", "year": "1947", "colour": "white"}
    mine, theirs = open_piece(member, **seen), open_piece(other, **seen)
    rank_again.func(timezone.now().isoformat())
    assert Observation.objects.get(holding=mine).likely_type is None
    assert Observation.objects.get(holding=theirs).likely_type == coinage.type


def test_evidence_put_down_anew_while_the_task_ran_is_left_alone(
    member: Member, coinage: Coinage
) -> None:
    piece = open_piece(member)
    (before,) = Observation.objects.all()
    keep_open(member, read_evidence({"hole": "square"}), over=piece, seen_version=1)
    ranked.rank_observations(member, [before])
    assert Observation.objects.get().ranked_at < Observation.objects.get().kept_at


# ---- who is told of what ----
@pytest.mark.parametrize(("probability", "many"), [(LIKELY, 1), (LIKELY - 0.01, 0)])
def test_an_owner_is_told_from_a_stated_probability_on(
    member: Member, coinage: Coinage, probability: float, many: int
) -> None:
    piece = open_piece(member, diameter="61")
    likely(piece, coinage.type, probability)
    assert len(news_for(member)) == many


def test_a_type_that_was_likely_when_it_was_kept_is_no_news(
    member: Member, coinage: Coinage
) -> None:
    piece = open_piece(member, diameter="23.5", mass="5.4", year="1947", colour="white")
    assert piece.observation.told_type == coinage.type
    likely(piece, coinage.type, 0.99)
    assert news_for(member) == []


@pytest.mark.parametrize("how", ["identified", "sold", "binned", "type hidden"])
def test_a_piece_drops_out(member: Member, coinage: Coinage, how: str) -> None:
    piece = open_piece(member, diameter="61")
    likely(piece, coinage.type)
    assert len(news_for(member)) == 1
    if how == "identified":
        keep_identified(member, read_evidence({}), coinage.type, over=piece, seen_version=1)
    elif how == "sold":
        Holding.objects.update(status="sold")
    elif how == "binned":
        piece.bin()
    else:
        CoinType.objects.update(standing=CoinType.Standing.PROPOSED)
    assert news_for(member) == []


def test_only_what_was_shown_is_dismissed(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    first, second = open_piece(member, diameter="61"), open_piece(member, diameter="62")
    likely(first, coinage.type)
    likely(second, coinage.type)
    shown = next(each for each in news_for(member) if each.holding == first)
    told(as_member, shown)
    assert [each.holding for each in news_for(member)] == [second]
    another = CoinType.objects.create(
        key="another", series=coinage.series, denomination=coinage.denomination
    )
    likely(first, another)
    assert len(news_for(member)) == 2  # another type than the one dismissed
    assert take_note(member, [(first.pk, coinage.type.pk)]) == 0  # no longer the likely one


def test_nobody_dismisses_for_another(
    client: Client, member: Member, other: Member, coinage: Coinage
) -> None:
    likely(open_piece(member, diameter="61"), coinage.type)
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    assert told(client, *news_for(member)).status_code == 302
    assert len(news_for(member)) == 1
    assert client.post("/identify/told/", {"told": "x-1"}).status_code == 404
    assert client.get("/identify/told/").status_code == 405


@pytest.mark.parametrize("address", ["/", "/holdings/"])
def test_many_news_cost_no_more_queries_than_few(
    as_member: Client,
    member: Member,
    coinage: Coinage,
    address: str,
    django_assert_max_num_queries: Any,
) -> None:
    def queries(pieces: int) -> int:
        for n in range(pieces):
            likely(open_piece(member, diameter=str(50 + n)), coinage.type)
        as_member.get(address)
        with django_assert_max_num_queries(60) as asked:
            assert "a likely type now" in as_member.get(address).text
        return len(asked)

    assert queries(3) == queries(30)
