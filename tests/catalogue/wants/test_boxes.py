"""An aim as rows of boxes: how each stands, whose spare would fill it, and asking for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from catalogue.holdings.actions import derive
from catalogue.models import Aim, Holding, Member, Want, WantList
from catalogue.wants.lists import WantLine, grouped
from catalogue.wants.rows import Box, Nearest, nearest, overview, row_records, rows_of_aim
from series.models import CoinType, Issue

BACKEND = "django.contrib.auth.backends.ModelBackend"


def signed_in(member: Member) -> Client:
    client = Client()
    client.force_login(member, backend=BACKEND)
    return client


@pytest.fixture
def hold(make_holding: Callable[..., Holding]) -> Callable[..., Holding]:
    def make(issue: Issue, grade: str = "", **fields: Any) -> Holding:
        piece = make_holding(issue=issue, coin_type=issue.coin_type, grade=grade, **fields)
        derive(piece)
        piece.save()
        return piece

    return make


@pytest.fixture
def idle(coinage: Any) -> Issue:
    """A year in which the type was not struck."""
    return Issue.objects.create(
        coin_type=coinage.type,
        key="1940",
        shown="1940",
        fact="not_struck",
        struck_from=1940,
        struck_to=1940,
    )


@pytest.fixture
def aim(member: Member, coinage: Any) -> Aim:
    return Aim.objects.create(
        owner=member, name="Dates", unit="date", series=coinage.series, lowest_rank=32
    )


def boxes(aim: Aim, state: str = "") -> list[Box]:
    records = row_records(aim, overview(aim).rows(state))
    return [b for row in rows_of_aim(aim, records, state) for b in row.boxes]


def nearest_of(aim: Aim) -> list[Nearest]:
    return nearest(aim, overview(aim))


def stand(aim: Aim, state: str = "") -> list[tuple[str, str]]:
    return [(box.label, box.state) for box in boxes(aim, state)]


def test_each_date_stands_in_its_place_with_how_it_is(
    aim: Aim, hold: Any, coinage: Any, idle: Issue
) -> None:
    hold(coinage.issues[0], "VF")
    hold(coinage.issues[1], "F")
    assert stand(aim) == [
        ("1931", "held"),
        ("1940", "not_struck"),
        ("1947", "upgrade"),
        ("1953", "gap"),
    ]
    assert stand(aim, "gap") == [("1953", "gap")]
    assert stand(aim, "upgrade") == [("1947", "upgrade")]


def test_years_outside_the_aim_are_no_boxes(aim: Aim, idle: Issue) -> None:
    aim.first_year = 1945
    aim.save()
    assert [label for label, _state in stand(aim)] == ["1947", "1953"]


def test_a_box_leads_to_the_best_piece(aim: Aim, hold: Any, coinage: Any) -> None:
    hold(coinage.issues[0], "VF")
    best = hold(coinage.issues[0], "EF")
    assert boxes(aim)[0].best == best


@pytest.mark.parametrize(
    ("unit", "rows", "labels"),
    [
        ("type", ["First"], ["25 tinne"]),
        ("denomination", ["marl"], ["25 tinne"]),
        ("date_mint", ["25 tinne"], ["1931", "1947", "1953"]),
    ],
)
def test_other_aims_have_rows_of_their_own(
    member: Member, coinage: Any, unit: str, rows: list[str], labels: list[str]
) -> None:
    aim = Aim.objects.create(owner=member, name="a", unit=unit, issuer=coinage.issuer)
    records = row_records(aim, overview(aim).rows())
    assert [str(record) for record in records] == rows
    assert [box.label for box in rows_of_aim(aim, records)[0].boxes] == labels


def test_a_spare_is_marked_on_its_box_with_whose_it_is(
    aim: Aim, hold: Any, coinage: Any, other: Member
) -> None:
    spare = hold(coinage.issues[2], "VF", owner=other, spare=True)
    assert [box.spares for box in boxes(aim)] == [(), (), (spare,)]
    page = signed_in(aim.owner).get(f"/aims/{aim.pk}/").content.decode()
    assert "a spare of" in page
    assert f"Ask {other}" in page


@pytest.mark.parametrize(
    "fields", [{"visibility": "private"}, {"spare": False}, {"status": "on_loan"}]
)
def test_what_may_not_be_asked_for_is_not_marked(
    aim: Aim, hold: Any, coinage: Any, other: Member, fields: dict[str, Any]
) -> None:
    hold(coinage.issues[2], "VF", **({"owner": other, "spare": True} | fields))
    assert all(not box.spares for box in boxes(aim))


def test_a_spare_below_the_grade_helps_nobody(
    aim: Aim, hold: Any, coinage: Any, other: Member
) -> None:
    hold(coinage.issues[2], "F", owner=other, spare=True)
    assert all(not box.spares for box in boxes(aim))


def test_asking_tells_the_owner_once_though_wants_are_kept_from_the_club(
    aim: Aim, hold: Any, coinage: Any, other: Member, member: Member
) -> None:
    member.lists_to_club = False
    member.save()
    spare = hold(coinage.issues[2], "VF", owner=other, spare=True)
    hold(coinage.issues[0], "VF", owner=other, spare=True)
    for _time in range(2):
        answer = signed_in(member).post(f"/holdings/{spare.pk}/ask/", {"back": f"/aims/{aim.pk}/"})
        assert answer["Location"] == f"/aims/{aim.pk}/"
    assert Want.objects.get().asked_of == spare
    told = signed_in(other).get("/wants/").context["offers_by_me"][member]
    assert [(offer.holding, offer.asked) for offer in told] == [(spare, True)]
    signed_in(other).post(f"/holdings/{spare.pk}/promise/", {"member": member.pk})
    assert spare.reservation.wanted_by == member


def test_a_promised_spare_cannot_be_asked_for(
    hold: Any, coinage: Any, other: Member, member: Member, curator: Member
) -> None:
    spare = hold(coinage.issues[2], owner=other, spare=True)
    signed_in(other).post(f"/holdings/{spare.pk}/promise/", {"member": curator.pk})
    assert signed_in(member).post(f"/holdings/{spare.pk}/ask/").status_code == 404


def test_the_nearest_gaps_are_of_what_was_begun(aim: Aim, hold: Any, coinage: Any) -> None:
    other_type = CoinType.objects.create(
        key="never-begun", series=coinage.series, denomination=coinage.denomination
    )
    Issue.objects.create(
        coin_type=other_type, key="1950", shown="1950", struck_from=1950, struck_to=1950
    )
    assert nearest_of(aim) == []
    hold(coinage.issues[0], "VF")
    (near,) = nearest_of(aim)
    assert (near.record, near.labels, near.more) == (coinage.type, ["1947", "1953"], 0)


def test_an_aim_is_shared_and_printed_from_its_page_with_one_list(
    as_member: Client, aim: Aim
) -> None:
    first = as_member.post(f"/aims/{aim.pk}/list/", {"do": "share"})
    made = WantList.objects.get()
    assert first["Location"] == f"/lists/{made.pk}/"
    assert (list(made.aims.all()), made.with_hand_wants, made.asked_by) == ([aim], False, "Ana")
    second = as_member.post(f"/aims/{aim.pk}/list/", {"do": "print"})
    assert second["Location"] == f"/lists/{made.pk}/sheet/"
    assert WantList.objects.count() == 1


def test_a_stranger_reads_who_asks_how_to_answer_and_until_when(
    as_member: Client, member: Member, aim: Aim
) -> None:
    made = WantList.objects.create(
        owner=member, title="L", asked_by="Ana of the quay", answer_to="At the club on <Tuesdays>"
    )
    made.aims.add(aim)
    as_member.post(f"/lists/{made.pk}/share/", {"days": "30"})
    token = as_member.get(f"/lists/{made.pk}/").context["address"].rstrip("/").rsplit("/", 1)[1]
    page = Client().get(f"/list/{token}/").content.decode()
    made.refresh_from_db()
    assert "Ana of the quay looks for these coins." in page
    assert "At the club on &lt;Tuesdays&gt;" in page
    assert f"{made.expires_at:%-d %B %Y}" in page


def test_a_list_that_names_nobody_says_how_to_answer_all_the_same(
    as_member: Client, member: Member
) -> None:
    made = WantList.objects.create(owner=member, title="L")
    as_member.post(f"/lists/{made.pk}/share/", {"days": "30"})
    token = as_member.get(f"/lists/{made.pk}/").context["address"].rstrip("/").rsplit("/", 1)[1]
    page = Client().get(f"/list/{token}/").content.decode()
    assert "By the way this link came to you." in page
    assert "Nothing is wanted just now." in page
    assert member.name not in page


def test_a_new_list_offers_the_name_and_never_the_sign_in_name(
    as_member: Client, member: Member
) -> None:
    assert as_member.get("/lists/new/").context["form"].initial["asked_by"] == member.name
    Member.objects.filter(pk=member.pk).update(name="")
    assert as_member.get("/lists/new/").context["form"].initial["asked_by"] == ""


def line(what: str, date: str, **more: Any) -> WantLine:
    country, series = more.pop("country", "Testland"), more.pop("series", "First")
    return WantLine(country, series, what, date, "", more.pop("better", False), **more)


def test_one_row_for_what_differs_in_its_date_alone() -> None:
    lines = [line("a", "1931"), line("a", "1932"), line("a", "1931", better=True), line("b", "")]
    (group,) = grouped(lines)
    rows = [(asked.line.what, asked.line.better, asked.dates) for asked in group.asked]
    assert rows == [("a", False, ["1931", "1932"]), ("a", True, ["1931"]), ("b", False, [])]


def test_a_name_is_not_said_twice_over_a_group() -> None:
    names = [("Halvern", "First"), ("Halvern, Board", "Board"), ("Halvern", ""), ("", "In words")]
    groups = grouped([line("a", "", country=c, series=s) for c, s in names])
    assert [group.title for group in groups] == [
        "Halvern, First",
        "Halvern, Board",
        "Halvern",
        "In words",
    ]


def test_a_long_run_takes_a_constant_number_of_queries(
    aim: Aim, coinage: Any, hold: Any, django_assert_max_num_queries: Any
) -> None:
    Issue.objects.bulk_create(
        Issue(coin_type=coinage.type, key=f"k{n}", shown=str(n), struck_from=1950, struck_to=1950)
        for n in range(2000, 7000)
    )
    hold(coinage.issues[0], "VF")
    with django_assert_max_num_queries(9):
        assert len(boxes(aim)) == 5003
