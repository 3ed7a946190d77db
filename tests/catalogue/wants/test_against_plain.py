"""Aims of small random coinages against a plain computation, one item after another."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count
from typing import Any

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue.models import Aim, Holding, Member
from catalogue.wants.gaps import GAP, HELD, UPGRADE, completion, filling, items
from catalogue.wants.rows import overview, row_records, rows_of_aim
from series.models import CoinType, Issue

numbers = count()
issue_facts = st.fixed_dictionaries(
    {
        "shown": st.sampled_from(["", "1", "1 1", "1931", "1947"]),
        "struck_from": st.integers(1930, 1934),
        "position": st.integers(0, 2),
        "purpose": st.sampled_from(["circulation", "circulation", "proof"]),
        "fact": st.sampled_from(["struck", "struck", "struck", "not_struck"]),
        "withdrawn": st.sampled_from([False, False, True]),
        "of": st.integers(0, 1),
    }
)
piece_facts = st.fixed_dictionaries(
    {
        "which": st.integers(0, 8),
        "grade_rank": st.sampled_from([None, 12, 45]),
        "status": st.sampled_from(["held", "on_loan", "sold"]),
        "others": st.booleans(),
    }
)
aim_facts = st.fixed_dictionaries(
    {
        "unit": st.sampled_from(Aim.Unit.values),
        "lowest_rank": st.sampled_from([None, 32]),
        "purposes": st.sampled_from([["circulation"], ["circulation", "proof"]]),
        "first_year": st.sampled_from([None, 1932]),
    }
)


@dataclass
class World:
    aim: Aim
    issues: list[Issue]
    own: list[Holding]
    others: list[Holding]

    def in_scope(self) -> list[Issue]:
        return [
            issue
            for issue in self.issues
            if issue.fact == "struck"
            and not issue.withdrawn
            and issue.purpose in self.aim.purposes
            and (self.aim.first_year is None or issue.struck_to >= self.aim.first_year)
        ]

    def key(self, issue: Issue) -> Any:
        return {
            "date": (issue.coin_type_id, issue.shown),
            "date_mint": issue.pk,
            "type": issue.coin_type_id,
            "denomination": issue.coin_type.denomination_id,
        }[self.aim.unit]

    def counts(self, piece: Holding) -> bool:
        """Whether a piece may fill the item of its issue."""
        assert piece.issue is not None
        if self.aim.unit == "date":
            return piece.issue.purpose in self.aim.purposes
        types = {issue.coin_type_id for issue in self.in_scope()}
        return self.aim.unit != "denomination" or piece.coin_type_id in types

    def good(self, piece: Holding) -> bool:
        lowest = self.aim.lowest_rank
        return lowest is None or (piece.grade_rank is not None and piece.grade_rank >= lowest)

    def states(self) -> dict[Any, str]:
        found = {}
        for key in {self.key(issue) for issue in self.in_scope()}:
            of_it = [p for p in self.own if self.counts(p) and self.key(p.issue) == key]
            of_it = [p for p in of_it if p.status in ("held", "on_loan")]
            good = any(self.good(piece) for piece in of_it)
            found[key] = HELD if good else UPGRADE if of_it else GAP
        return found

    def firsts(self) -> dict[Any, int]:
        found: dict[Any, int] = {}
        order = sorted(self.in_scope(), key=lambda i: (i.struck_from, i.position, i.pk))
        for issue in order:
            found.setdefault(self.key(issue), issue.pk)
        return found

    def filling(self, state: str) -> set[int]:
        states = self.states()
        return {
            piece.pk
            for piece in self.others
            if self.good(piece)
            and self.counts(piece)
            and states.get(self.key(piece.issue)) == state
        }


def world_of(
    member: Member, other: Member, coinage: Any, aim: Any, issues: Any, pieces: Any
) -> World:
    second = CoinType.objects.create(
        key=f"second-{next(numbers)}", series=coinage.series, denomination=coinage.denomination
    )
    made = [
        Issue.objects.create(
            coin_type=(coinage.type, second)[facts["of"]],
            key=f"k{next(numbers)}",
            struck_to=facts["struck_from"],
            **{name: value for name, value in facts.items() if name != "of"},
        )
        for facts in issues
    ]
    world = World(
        Aim.objects.create(owner=member, name="a", series=coinage.series, **aim),
        [*coinage.issues, *made],
        [],
        [],
    )
    for facts in pieces:
        issue = world.issues[facts["which"] % len(world.issues)]
        piece = Holding.objects.create(
            owner=other if facts["others"] else member,
            accession=f"P{next(numbers)}",
            coin_type=issue.coin_type,
            issue=issue,
            grade_rank=facts["grade_rank"],
            status=facts["status"],
        )
        (world.others if facts["others"] else world.own).append(piece)
    return world


def item_key(world: World, item: Any) -> Any:
    return (item.coin_type_id, item.shown) if world.aim.unit == "date" else item.pk


@pytest.mark.django_db
@settings(
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    aim=aim_facts,
    issues=st.lists(issue_facts, max_size=6),
    pieces=st.lists(piece_facts, max_size=6),
)
def test_what_an_aim_lacks_is_what_a_plain_count_says(
    member: Member, other: Member, coinage: Any, aim: Any, issues: Any, pieces: Any
) -> None:
    with transaction.atomic():
        world = world_of(member, other, coinage, aim, issues, pieces)
        states = world.states()
        found = list(items(world.aim))
        assert {item_key(world, item): item.state for item in found} == states
        assert len(found) == len(states)
        if world.aim.unit == "date":
            assert {item_key(world, item): item.pk for item in found} == world.firsts()
        done, stand = completion(world.aim), overview(world.aim)
        wanted = list(states.values())
        assert (done.total, done.held) == (len(wanted), wanted.count(HELD))
        assert stand.completion == done
        for state in (GAP, UPGRADE):
            pieces_found = filling(world.aim, state, Holding.objects.filter(owner=other))
            assert {piece.pk for piece in pieces_found} == world.filling(state)
            rows = rows_of_aim(world.aim, row_records(world.aim, stand.rows(state)), state)
            assert sum(len(row.boxes) for row in rows) == wanted.count(state)
            assert all(row.boxes for row in rows)
        transaction.set_rollback(True)
