"""Changing many holdings at once."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.holdings.search.index import store
from catalogue.models import Holding, Member, Place

BACK = "/holdings/?view=list"


def send(client: Client, holdings: list[Holding], do: str, deed: str, **fields: Any) -> Any:
    data = {
        "holding": [holding.pk for holding in holdings],
        "back": BACK,
        "do": do,
        "deed": deed,
        "grade_scale": "british",
        "expected": len(holdings),
        "seen": versions(holdings),
    }
    return client.post("/holdings/bulk/", data | fields)


def said(page: Any) -> dict[str, list[tuple[str, str, int]]]:
    """What the last look says: by thing, from what to what and of how many."""
    return {
        told.what: [(group.was, group.becomes, group.count) for group in told.groups]
        for told in page.context["words"]
    }


def left(page: Any) -> dict[str, str]:
    """Which are left alone, and the reason up to its advice."""
    return {
        holding.accession: reason.split(";")[0] for holding, reason in page.context["plan"].left
    }


def versions(holdings: list[Holding]) -> str:
    """What the last look carries of these holdings as they are now."""
    found = Holding.objects.filter(pk__in=[holding.pk for holding in holdings]).order_by("pk")
    return ",".join(f"{h.pk}-{h.row_version}" for h in found)


@pytest.fixture
def three(make_holding: Any, coinage: Any) -> list[Holding]:
    return [make_holding(issue=coinage.issues[0], quantity=n) for n in (1, 2, 3)]


def test_it_works(as_member: Client, three: list[Holding]) -> None:
    page = as_member.post("/holdings/bulk/", {"holding": [three[0].pk], "back": BACK})
    assert page.status_code == 200
    assert page.context["count"] == 1
    assert "Take all 3 of mine" in page.text


def test_a_last_look_changes_nothing_and_says_how_many(
    as_member: Client, three: list[Holding]
) -> None:
    chosen = {"visibility": "private", "grade_do": "set", "grade": "vf"}
    page = send(as_member, three, "look", "change", **chosen)
    assert "Change 3 holdings?" in page.text
    assert said(page)["Grade"] == [("none", "VF (British)", 3)]
    assert said(page)["Who may see it"] == [("the club", "only me", 3)]
    assert Holding.objects.filter(visibility="private").count() == 0


def test_all_of_them_are_changed(as_member: Client, member: Member, three: list[Holding]) -> None:
    store()
    place = Place.objects.create(owner=member, name="Box", path="Box")
    answer = send(
        as_member,
        three,
        "do",
        "change",
        visibility="private",
        grade_do="set",
        grade="vf",
        place=place.pk,
        spare="yes",
        add_problem="holed",
    )
    assert answer["Location"] == BACK
    for holding in Holding.objects.all():
        assert (holding.grade, holding.grade_rank, holding.visibility) == ("VF", 32, "private")
        assert (holding.place, holding.spare, holding.row_version) == (place, True, 2)
        assert [p.kind for p in holding.problems.all()] == ["holed"]
    page = as_member.get("/holdings/?view=list&problem=holed&spare=yes")
    assert page.context["browse"].result.total == 3


def test_a_problem_is_removed_and_the_rest_left_alone(
    as_member: Client, three: list[Holding]
) -> None:
    three[0].problems.create(kind="bent")
    three[0].problems.create(kind="holed")
    send(as_member, three, "do", "change", remove_problem="bent")
    assert [p.kind for p in three[0].problems.all()] == ["holed"]
    assert set(Holding.objects.values_list("grade", "spare", "visibility")) == {("", False, "club")}


def test_all_that_was_found_is_taken_but_only_ones_own(
    as_member: Client, three: list[Holding], make_holding: Any, other: Member
) -> None:
    theirs = make_holding(owner=other, accession="O.1")
    sent = {"all": "1", "back": "/holdings/?owner=any&view=list", "do": "do", "deed": "change"}
    sent |= {"visibility": "public", "seen": versions(three)}
    as_member.post("/holdings/bulk/", sent)
    assert Holding.objects.filter(visibility="public").count() == 3
    theirs.refresh_from_db()
    assert theirs.visibility == "club"


def test_the_pieces_of_others_are_left_out(
    as_member: Client, other: Member, make_holding: Any
) -> None:
    theirs = make_holding(owner=other)
    answer = send(as_member, [theirs], "do", "bin")
    assert answer.status_code == 302
    assert Holding.objects.filter(pk=theirs.pk).exists()


def test_nothing_happens_when_the_number_has_changed(
    as_member: Client, three: list[Holding]
) -> None:
    page = send(as_member, three, "do", "bin", expected=2)
    assert "has changed since you looked" in page.text
    assert Holding.objects.count() == 3


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "at least one thing"),
        ({"grade_do": "set", "grade": "shiny"}, "no grade of the british scale"),
        ({"add_problem": "bent", "remove_problem": "bent"}, "the problem you add"),
        ({"place": "999999"}, "Select a valid choice"),
    ],
)
def test_bad_input_is_said_and_keeps_the_choice(
    as_member: Client, three: list[Holding], fields: dict[str, str], words: str
) -> None:
    page = send(as_member, three, "do", "change", **fields)
    assert words in page.text
    assert page.text.count('name="holding"') == 3
    assert set(Holding.objects.values_list("row_version", flat=True)) == {1}


def test_one_whose_sides_are_graded_on_another_scale_is_left_alone(
    as_member: Client, three: list[Holding]
) -> None:
    Holding.objects.filter(pk=three[2].pk).update(
        grade_scale="continental", grade_obverse="ss", grade_reverse="vz"
    )
    page = send(as_member, three, "look", "change", grade_do="set", grade="VF", spare="yes")
    assert left(page) == {three[2].accession: "its sides are graded on another scale"}
    send(as_member, three, "do", "change", grade_do="set", grade="VF", spare="yes")
    assert list(Holding.objects.filter(spare=True)) == three[:2]


def test_lots_are_joined(as_member: Client, three: list[Holding]) -> None:
    assert "Join 3 lots" in send(as_member, three, "look", "join").text
    send(as_member, three, "do", "join")
    assert Holding.objects.get().quantity == 6
    assert Holding.objects.get().accession == three[0].accession


def test_unlike_lots_are_not_joined(
    as_member: Client, three: list[Holding], make_holding: Any, coinage: Any
) -> None:
    unlike = make_holding(issue=coinage.issues[1])
    page = send(as_member, [*three, unlike], "do", "join")
    assert f"{unlike.accession} differs" in page.text
    assert Holding.objects.count() == 4


def test_into_the_bin(as_member: Client, three: list[Holding]) -> None:
    store()
    send(as_member, three[:2], "do", "bin")
    assert list(Holding.objects.all()) == [three[2]]
    assert as_member.get(BACK).context["browse"].result.total == 1


def test_many_take_as_many_queries_as_few(
    as_member: Client, make_holding: Any, django_assert_max_num_queries: Any
) -> None:
    many = [make_holding() for _ in range(60)]
    with django_assert_max_num_queries(40):
        send(as_member, many, "do", "change", spare="yes")
    assert Holding.objects.filter(spare=True).count() == 60


def test_choosing_none_is_said(as_member: Client, coinage: Any) -> None:
    answer = as_member.post("/holdings/bulk/", {"back": BACK}, follow=True)
    assert "Choose at least one" in answer.text


@pytest.mark.parametrize(
    "fields",
    [
        {"grade": "VF", "grade_scale": "continental"},
        {"grade": "VF", "grade_scale": "british", "grade_reverse": "EF"},
    ],
)
def test_lots_graded_otherwise_are_not_joined(
    as_member: Client, make_holding: Any, fields: dict[str, str]
) -> None:
    lots = [make_holding(grade="VF", grade_scale="british"), make_holding(**fields)]
    page = send(as_member, lots, "do", "join")
    assert f"{lots[1].accession} differs" in page.text
    assert Holding.objects.count() == 2
