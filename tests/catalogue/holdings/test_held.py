"""What the viewer holds, on pages of the reference catalogue."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.template import Context, Template
from hypothesis import given
from hypothesis import strategies as st

from catalogue.holdings.dates.boxes import MOST, DateBox, date_boxes, drawn, tally
from catalogue.holdings.held import held_by_country, held_of_types
from catalogue.models import Holding, Member
from series.models import CoinType, Issue
from tests.conftest import Coinage


def rendered(source: str, **context: Any) -> str:
    return Template("{% load holding_marks %}" + source).render(Context(context))


def test_pieces_and_best_grade_are_counted_by_type_and_issue(
    coinage: Coinage, make_holding: Callable[..., Holding], member: Member
) -> None:
    make_holding(issue=coinage.issues[0], quantity=2, grade="VF", grade_rank=32)
    make_holding(issue=coinage.issues[0], grade="EF", grade_rank=50)
    make_holding(quantity=4)
    held = held_of_types(member, [coinage.type])
    assert (held.types[coinage.type.pk].count, held.types[coinage.type.pk].grade) == (7, "EF")
    assert held.issues[coinage.issues[0].pk].count == 3
    assert held.pieces == 7


@pytest.mark.parametrize("status", ["sold", "swapped", "given", "lost"])
def test_what_has_gone_is_not_held(
    coinage: Coinage, make_holding: Callable[..., Holding], member: Member, status: str
) -> None:
    make_holding(status=status)
    assert held_of_types(member, [coinage.type]).types == {}
    assert held_by_country(member) == {}


def test_a_piece_on_loan_is_held(
    coinage: Coinage, make_holding: Callable[..., Holding], member: Member
) -> None:
    make_holding(status="on_loan")
    assert held_of_types(member, [coinage.type]).pieces == 1


def test_a_piece_in_the_bin_is_not_held(
    coinage: Coinage, make_holding: Callable[..., Holding], member: Member
) -> None:
    make_holding().bin()
    assert held_of_types(member, [coinage.type]).types == {}


def test_others_pieces_are_never_counted(
    coinage: Coinage, make_holding: Callable[..., Holding], member: Member, other: Member
) -> None:
    make_holding(owner=other, visibility="public")
    assert held_of_types(member, [coinage.type]).types == {}
    assert held_of_types(AnonymousUser(), [coinage.type]).types == {}


def test_one_query_for_all_types_of_a_page(
    coinage: Coinage,
    make_holding: Callable[..., Holding],
    member: Member,
    django_assert_num_queries: Any,
) -> None:
    make_holding(issue=coinage.issues[0])
    types = list(CoinType.objects.prefetch_related("issues"))
    with django_assert_num_queries(1):
        html = rendered(
            "{% holdings_of types user as held %}{% for t in types %}{{ held|of_type:t }}"
            "{% date_boxes t held %}{% endfor %}",
            types=types,
            user=member,
        )
    assert "1 of 3 dates held" in html


def test_held_by_country_counts_types_and_pieces(
    coinage: Coinage, make_holding: Callable[..., Holding], member: Member
) -> None:
    make_holding(quantity=2)
    make_holding(issue=coinage.issues[0])
    found = held_by_country(member)[coinage.issuer.pk]
    assert (found.types, found.pieces) == (1, 3)


def test_a_type_is_lacking_only_where_others_are_held(
    coinage: Coinage, make_holding: Callable[..., Holding], member: Member
) -> None:
    second = CoinType.objects.create(
        key="second", series=coinage.series, denomination=coinage.denomination
    )
    source = (
        "{% holdings_of types user as held %}"
        "{% for t in types %}{{ held|lacks:t|yesno }} {% endfor %}"
    )
    types = [coinage.type, second]
    assert rendered(source, types=types, user=member).split() == ["no", "no"]
    make_holding()
    assert rendered(source, types=types, user=member).split() == ["no", "yes"]


def test_a_type_without_issues_has_no_boxes(coinage: Coinage, member: Member) -> None:
    Issue.objects.all().delete()
    html = rendered(
        "{% holdings_of types user as held %}{% for t in types %}{% date_boxes t held %}"
        "{% endfor %}",
        types=[coinage.type],
        user=member,
    )
    assert html == ""


# ---- boxes ----
def test_the_issues_of_one_date_are_one_box() -> None:
    boxes = date_boxes([("1947", "struck", False), ("1947", "struck", True)])
    assert boxes == [DateBox("1947", "held")]


def test_not_struck_and_not_recorded_are_drawn_apart() -> None:
    html = drawn(date_boxes([("1", "not_struck", False), ("2", "not_recorded", False)]), "dates")
    assert "box-not_struck" in html
    assert "box-not_recorded" in html


def test_many_dates_become_a_bar() -> None:
    boxes = date_boxes((str(n), "struck", n % 2 == 0) for n in range(MOST + 2))
    html = drawn(boxes, "dates")
    assert html.count("<rect") == 2
    assert 'width="50.0"' in html  # half of 100
    assert f">{len(boxes) // 2}/{len(boxes)}</text>" in html


def test_labels_are_escaped() -> None:
    html = drawn(date_boxes([("<b>", "struck", False)]), 'a "label"')
    assert "<b>" not in html
    assert 'aria-label="a &quot;label&quot;"' in html


facts = st.sampled_from(["struck", "not_struck", "not_recorded"])


@given(st.lists(st.tuples(st.sampled_from("abc"), facts, st.booleans()), max_size=9))
def test_held_dates_are_among_those_struck(issues: list[tuple[str, str, bool]]) -> None:
    boxes = date_boxes(issues)
    held, struck = tally(boxes)
    assert held <= struck <= len(boxes) == len({label for label, *_ in issues})
