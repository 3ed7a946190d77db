"""Two records of one type become one, and nothing that members have is lost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date
from random import Random
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Aim, Holding, Member, Proposal, Reservation, Want
from series.models import CoinType, Issue, Mark, Mint, Reference, Variety
from series.signals import types_joined
from series.types.joining import JoinRefused, join_types
from tests.conftest import Coinage
from valuation.models import PriceSource, Valuation

pytestmark = pytest.mark.django_db


@pytest.fixture
def double(coinage: Coinage) -> CoinType:
    """The same type made again: 1947 as before, 1950 S only here."""
    made = CoinType.objects.create(
        key="double",
        series=coinage.series,
        denomination=coinage.denomination,
        standing=CoinType.Standing.PROVISIONAL,
    )
    sund = Mint.objects.create(key="sund", name="Sund")
    mark = Mark.objects.create(coin_type=made, kind="mint", text="S", side="reverse", mint=sund)
    for year, marks in ((1947, ""), (1950, "S")):
        issue = Issue.objects.create(
            coin_type=made, key=str(year), shown=str(year), struck_from=year, struck_to=year,
            mark_text=marks, mintage=year,
        )  # fmt: skip
        if marks:
            issue.marks.add(mark)
    return made


def pieces() -> Counter[tuple[Any, ...]]:
    """Every holding by what its owner knows of it: not which record it points to."""
    return Counter(
        (h.owner_id, h.accession, h.quantity, h.issue.label if h.issue else "", h.deleted_at)
        for h in Holding.everything.select_related("issue")
    )


def with_a_shown_date() -> set[str]:
    """The numbers of the pieces whose issue stands on its type's page."""
    standing = Holding.everything.filter(issue__deleted_at__isnull=True, issue__withdrawn=False)
    return set(standing.filter(issue__isnull=False).values_list("accession", flat=True))


def test_dates_of_both_become_one_and_the_others_move(coinage: Coinage, double: CoinType) -> None:
    issue_map = join_types(double, coinage.type)
    labels = [i.label for i in coinage.type.issues.order_by("struck_from")]
    assert labels == ["1931", "1947", "1950 S", "1953"]
    moved = coinage.type.issues.get(shown="1950")
    assert moved.marks.get().coin_type_id == coinage.type.pk
    assert moved.marks.get().mint.name == "Sund"  # type: ignore[union-attr]
    assert issue_map[moved.pk] == moved.pk
    assert coinage.type.issues.get(shown="1947").mintage == 1947
    double.refresh_from_db()
    assert (double.standing, double.joined_to_id) == ("joined", coinage.type.pk)


@pytest.mark.parametrize("chance", range(12))
def test_no_holding_is_lost_whatever_the_dates(
    coinage: Coinage, double: CoinType, make_holding: Callable[..., Holding], chance: int
) -> None:
    random = Random(chance)
    Issue.objects.filter(coin_type__in=[double, coinage.type]).delete()
    for coin_type in (double, coinage.type):
        for number in range(random.randint(0, 8)):
            shown = random.choice(["1931", "1932", "1933", ""])
            marks = random.choice(["", "S", "S+D"])
            issue = Issue.objects.create(
                coin_type=coin_type, key=f"k{number}", shown=shown, struck_from=1931,
                struck_to=1931 + random.randint(0, 1), mark_text=marks,
                purpose=random.choice(["circulation", "proof"]), note=random.choice(["", "wide"]),
                withdrawn=random.random() < 0.2,
            )  # fmt: skip
            for _ in range(random.randint(0, 2)):
                held = make_holding(coin_type=coin_type, issue=issue, quantity=random.randint(1, 3))
                if random.random() < 0.2:
                    held.bin()
            if random.random() < 0.2:
                issue.bin()
        make_holding(coin_type=coin_type)
    before, shown = pieces(), with_a_shown_date()
    join_types(double, coinage.type)
    assert pieces() == before
    for holding in Holding.everything.select_related("issue"):
        assert holding.coin_type_id == coinage.type.pk
        if holding.issue is not None:
            assert holding.issue.coin_type_id == coinage.type.pk
    bare = Issue.objects.filter(coin_type=coinage.type)
    keys = list(bare.values_list("key", flat=True))
    assert len(keys) == len(set(keys))
    assert shown <= with_a_shown_date()


def test_wants_aims_promises_and_values_follow(
    coinage: Coinage,
    double: CoinType,
    member: Member,
    other: Member,
    make_holding: Callable[..., Holding],
) -> None:
    issue = double.issues.get(shown="1947")
    want = Want.objects.create(owner=member, coin_type=double, issue=issue)
    aim = Aim.objects.create(owner=member, name="All", coin_type=double)
    spare = make_holding(coin_type=double, issue=issue)
    promise = Reservation.objects.create(
        holding=spare, wanted_by=other, coin_type=double, issue=issue
    )
    source = PriceSource.objects.create(name="A list")
    values = [
        Valuation.objects.create(
            **of, grade="VF", single="8.00", on=date(2024, 3, 1), source=source
        )
        for of in ({"coin_type": double}, {"issue": issue})
    ]
    join_types(double, coinage.type)
    for record in (want, aim, promise, *values):
        record.refresh_from_db()
    kept = coinage.issues[1].pk
    assert (want.coin_type_id, want.issue_id) == (coinage.type.pk, kept)
    assert aim.coin_type_id == coinage.type.pk
    assert (promise.coin_type_id, promise.issue_id) == (coinage.type.pk, kept)
    assert (values[0].coin_type_id, values[1].issue_id) == (coinage.type.pk, kept)


def test_varieties_and_references_follow(
    coinage: Coinage, double: CoinType, make_holding: Callable[..., Holding]
) -> None:
    issue = double.issues.get(shown="1947")
    mine = [Variety.objects.create(issue=issue, key=k, name=k) for k in ("wide", "narrow")]
    theirs = Variety.objects.create(issue=coinage.issues[1], key="wide", name="wide")
    held = [make_holding(coin_type=double, issue=issue, variety=v) for v in mine]
    Reference.objects.create(coin_type=double, work="Moy", number="14")
    join_types(double, coinage.type)
    for holding in held:
        holding.refresh_from_db()
    assert held[0].variety == theirs
    assert held[1].variety.issue_id == coinage.issues[1].pk  # type: ignore[union-attr]
    assert coinage.type.references.get().number == "14"


def test_a_failing_listener_leaves_all_as_it_was(
    coinage: Coinage, double: CoinType, make_holding: Callable[..., Holding]
) -> None:
    holding = make_holding(coin_type=double, issue=double.issues.get(shown="1950"))

    def fail(**_: Any) -> None:
        raise RuntimeError

    types_joined.connect(fail)
    try:
        with pytest.raises(RuntimeError):
            join_types(double, coinage.type)
    finally:
        types_joined.disconnect(fail)
    holding.refresh_from_db()
    double.refresh_from_db()
    assert (holding.coin_type_id, double.standing) == (double.pk, "provisional")
    assert double.issues.count() == 2


def test_what_cannot_be_joined_is_refused(coinage: Coinage, double: CoinType) -> None:
    with pytest.raises(JoinRefused, match="itself"):
        join_types(double, double)
    join_types(double, coinage.type)
    with pytest.raises(JoinRefused, match="already"):
        join_types(double, coinage.type)
    with pytest.raises(JoinRefused, match="joined or in the bin"):
        join_types(coinage.type, double)


def test_an_earlier_double_leads_to_the_last_one(coinage: Coinage, double: CoinType) -> None:
    third = CoinType.objects.create(
        key="third", series=coinage.series, denomination=coinage.denomination
    )
    join_types(double, third)
    join_types(third, coinage.type)
    double.refresh_from_db()
    assert double.joined_to_id == coinage.type.pk


# ---- the pages ----
def test_a_curator_joins_a_proposed_double(
    as_curator: Client, as_member: Client, member: Member, coinage: Coinage, double: CoinType
) -> None:
    proposal = Proposal.objects.create(coin_type=double, proposed_by=member)
    address = reverse("type-join", args=[double.key])
    assert coinage.type.key in as_curator.get(address).content.decode()
    wrong = as_curator.post(address, {"keep": "no-such", "answer": "It is ours."})
    assert "no-such" in wrong.content.decode()
    assert "It is ours." in wrong.content.decode()
    kept = f"http://testserver/types/{coinage.type.key}/"
    response = as_curator.post(address, {"keep": kept, "answer": "The same as ours."})
    assert response["Location"] == coinage.type.get_absolute_url()
    proposal.refresh_from_db()
    assert proposal.state == Proposal.State.JOINED
    assert as_member.get(double.get_absolute_url())["Location"] == coinage.type.get_absolute_url()
    page = as_member.get(reverse("curation")).content.decode()
    assert "The same as ours." in page
    assert coinage.type.get_absolute_url() in page


def test_pieces_are_found_by_the_date_of_the_type_that_is_kept(
    coinage: Coinage, double: CoinType, member: Member
) -> None:
    Issue.objects.filter(coin_type=coinage.type, shown="1947").update(struck_from=1951)
    piece = Holding.objects.create(
        owner=member,
        accession="J.1",
        coin_type=double,
        issue=double.issues.get(shown="1947"),
        search_text="i 1 1947 1947",
    )
    join_types(double, coinage.type)
    piece.refresh_from_db()
    assert piece.search_text == "i 1 1947 1951"
