"""Making and changing types in the browser."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from catalogue.models import Holding, Member, Proposal
from series.models import CoinType, Issue, Motif, Pack, Variety
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db


def sent(client: Client, address: str, **changes: Any) -> dict[str, Any]:
    """What the form of a page would send as it stands, with some fields typed over."""
    form = client.get(address).context["form"]
    values = {bound.name: bound.value() for bound in form}
    return {name: "" if v is None else v for name, v in values.items()} | changes


def new_type(coinage: Coinage, **fields: Any) -> dict[str, Any]:
    base = {
        "country": coinage.issuer.name,
        "value": coinage.denomination.name,
        "purpose": "circulating",
        "outline": "round",
    }
    return base | fields


FULL = {
    "name": "net",
    "composition": "Cu75Ni25",
    "diameter_mm": "23.5",
    "mass_g": "5.4",
    "dates": "1931–33, 1947 S, 1952 (1953), not struck 1943",
    "marks": "S mint Saltmouth reverse 6 below the net",
    "reverse_legends": "25 TINNE\n١٣٥٠ | 1350 | the year",
    "reverse_motifs": "net: on three poles\ngull, kelp",
    "reverse_designers": "Ada Moy; Bo Sund",
    "obverse_description": "A lighthouse.",
    "obverse_bust": "left",
    "references": "Moy, Coins | 2 | 14",
    "citations": "Coinage Act, 1931: section 4",
    "tender_until": "1968-12-31",
    "note": "Common.",
}


def test_a_curator_makes_a_type_with_all_its_parts(as_curator: Client, coinage: Coinage) -> None:
    response = as_curator.post(reverse("type-new"), new_type(coinage, **FULL))
    made = CoinType.objects.get(name="net")
    assert response["Location"] == f"{made.get_absolute_url()}?new"
    assert (made.standing, made.metal, made.first_year) == ("accepted", "copper-nickel", 1931)
    assert [i.label for i in made.issues.order_by("struck_from")] == [
        "1931", "1932", "1933", "1943", "1947 S", "1952",
    ]  # fmt: skip
    issue = made.issues.get(key="1947-s")
    assert issue.marks.get().mint.name == "Saltmouth"  # type: ignore[union-attr]
    face = made.faces.get(side="reverse")
    assert [(legend.text, legend.script) for legend in face.legends.all()] == [
        ("25 TINNE", "Latn"),
        ("١٣٥٠", "Arab"),
    ]
    assert [str(shown) for shown in face.shown.order_by("pk")] == ["net", "gull", "kelp"]
    assert made.references.get().number == "14"
    assert "lighthouse" in made.search_text
    assert not Proposal.objects.exists()


def test_the_form_of_a_type_saved_unchanged_changes_nothing(
    as_curator: Client, coinage: Coinage
) -> None:
    as_curator.post(reverse("type-new"), new_type(coinage, **FULL))
    made = CoinType.objects.get(name="net")
    address = reverse("type-edit", args=[made.key])

    def all_of_it() -> list[Any]:
        return [
            sorted(
                made.issues.values_list("pk", "key", "shown", "mark_text", "fact", "row_version")
            ),
            sorted(made.faces.values_list("pk", "legends", "motifs", "people", "description")),
            sorted(made.marks.values_list("pk", "text", "clock", "near", "mint")),
            sorted(made.references.values_list("pk", "work", "number")),
            CoinType.objects.filter(pk=made.pk).values_list("citations", "composition").get(),
        ]

    before = all_of_it()
    response = as_curator.post(address, sent(as_curator, address))
    assert response.status_code == 302
    assert all_of_it() == before


def test_bad_lines_are_said_and_what_was_typed_stays(as_curator: Client, coinage: Coinage) -> None:
    bad = {
        "composition": "Cu75Ni35",
        "dates": "1931–1929",
        "marks": "S mint Saltmouth",
        "references": "Moy",
        "tender_until": "soon",
        "mass_g": "-1",
    }
    response = as_curator.post(reverse("type-new"), new_type(coinage, name="net", **bad))
    assert response.status_code == 200
    form = response.context["form"]
    assert set(bad) - {"dates"} <= set(form.errors)
    page = response.content.decode()
    for written in ("Cu75Ni35", "1931–1929", "S mint Saltmouth", "soon"):
        assert written in page
    assert not CoinType.objects.filter(name="net").exists()
    response = as_curator.post(reverse("type-new"), new_type(coinage, dates="1931–1929"))
    assert "runs backwards" in response.content.decode()


def test_two_dots_stand_for_still_just_where_a_pack_takes_them(
    as_curator: Client, coinage: Coinage
) -> None:
    said = {"tender_until": "..", "exchange_until": "..", "withdrawn_on": ".."}
    response = as_curator.post(reverse("type-new"), new_type(coinage, name="net", **said))
    assert list(response.context["form"].errors) == ["withdrawn_on"]
    as_curator.post(
        reverse("type-new"), new_type(coinage, name="net", **said | {"withdrawn_on": ""})
    )
    assert CoinType.objects.get(name="net").exchange_until == ".."


def test_money_of_another_currency_is_refused(as_curator: Client, coinage: Coinage) -> None:
    response = as_curator.post(
        reverse("type-new"), new_type(coinage, series=coinage.series.pk, value="1 penny")
    )
    assert "is no unit of this money, which has marl, tinne" in response.content.decode()


# ---- like another ----
def test_a_type_like_another_copies_all_but_the_dates(as_curator: Client, coinage: Coinage) -> None:
    as_curator.post(reverse("type-new"), new_type(coinage, **FULL))
    made = CoinType.objects.get(name="net")
    address = reverse("type-like", args=[made.key])
    as_curator.post(address, sent(as_curator, address, name="second net", mass_g="5.0"))
    second = CoinType.objects.get(name="second net")
    assert (str(second.mass_g), second.composition, second.issues.count()) == (
        "5.0000",
        "Cu75Ni25",
        0,
    )
    face = second.faces.get(side="reverse")
    assert [shown.note for shown in face.shown.order_by("pk")] == ["on three poles", "", ""]
    assert second.marks.get().near == "below the net"
    assert Motif.objects.count() == 3
    assert made.issues.count() == 6


# ---- dates ----
def test_holdings_stay_on_their_dates_when_dates_are_edited(
    as_curator: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    holding = make_holding(issue=coinage.issues[1])
    address = reverse("type-edit", args=[coinage.type.key])
    as_curator.post(address, sent(as_curator, address, dates="1930, 1931, 1947 (1948), 1953–55"))
    holding.refresh_from_db()
    assert holding.issue_id == coinage.issues[1].pk
    assert (holding.issue.shown, holding.issue.struck_from) == ("1947", 1948)  # type: ignore[union-attr]
    assert coinage.type.issues.count() == 6


def test_a_date_that_is_held_cannot_be_left_out(
    as_curator: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    make_holding(issue=coinage.issues[1])
    address = reverse("type-edit", args=[coinage.type.key])
    response = as_curator.post(address, sent(as_curator, address, dates="1931, 1953", name="new"))
    assert "hold or want 1947" in response.content.decode()
    assert Issue.objects.filter(coin_type=coinage.type).count() == 3
    assert not CoinType.objects.filter(name="new").exists()
    response = as_curator.post(
        address, sent(as_curator, address, dates="1931, not struck 1947, 1953")
    )
    assert "cannot be “not struck”" in response.content.decode()


def test_a_date_left_out_comes_back_as_the_same_issue(as_curator: Client, coinage: Coinage) -> None:
    address = reverse("type-edit", args=[coinage.type.key])
    as_curator.post(address, sent(as_curator, address, dates="1931, 1953"))
    assert not Issue.objects.filter(pk=coinage.issues[1].pk).exists()
    as_curator.post(address, sent(as_curator, address, dates="1931, 1947, 1953"))
    assert Issue.objects.get(coin_type=coinage.type, shown="1947").pk == coinage.issues[1].pk


def test_a_stale_edit_is_refused_and_both_are_shown(as_curator: Client, coinage: Coinage) -> None:
    address = reverse("type-edit", args=[coinage.type.key])
    old = sent(as_curator, address, reverse_legends="MINE", dates="1931, 1947, 1953, 1960")
    as_curator.post(address, sent(as_curator, address, reverse_legends="THEIRS"))
    response = as_curator.post(address, old)
    assert response.status_code == 200
    shown = {(d.stored, d.yours) for d in response.context["form"].stale}
    assert ("THEIRS", "MINE") in shown
    assert not Issue.objects.filter(shown="1960").exists()
    again = old | {"row_version": response.context["form"]["row_version"].value()}
    assert as_curator.post(address, again).status_code == 302
    assert Issue.objects.filter(shown="1960").exists()


def test_the_page_asks_the_same_for_three_dates_as_for_thirty(
    as_curator: Client, coinage: Coinage, django_assert_max_num_queries: Callable[[int], Any]
) -> None:
    address = reverse("type-edit", args=[coinage.type.key])
    with CaptureQueriesContext(connection) as few:
        typed = sent(as_curator, address, dates="1931–60")
    few_queries = len(few)
    as_curator.post(address, typed)
    as_curator.get(address)  # shows the message
    with django_assert_max_num_queries(few_queries):
        as_curator.get(address)


# ---- one issue ----
def test_mintage_and_varieties_of_one_date(as_curator: Client, coinage: Coinage) -> None:
    address = reverse("issue-edit", args=[coinage.type.key, "1947"])
    typed = sent(as_curator, address, mintage="40000", varieties="wide rim: 1.5 mm\nnarrow rim")
    assert typed["date"] == "1947"
    as_curator.post(address, typed | {"date": '1947 S "first of the mint"'})
    issue = Issue.objects.get(pk=coinage.issues[1].pk)
    assert (issue.mintage, issue.label, issue.note) == (40000, "1947 S", "first of the mint")
    assert sorted(issue.varieties.values_list("name", "description")) == [
        ("narrow rim", ""),
        ("wide rim", "1.5 mm"),
    ]


def test_a_variety_that_is_held_cannot_be_left_out(
    as_curator: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    variety = Variety.objects.create(issue=coinage.issues[1], key="wide", name="wide rim")
    make_holding(issue=coinage.issues[1], variety=variety)
    address = reverse("issue-edit", args=[coinage.type.key, "1947"])
    response = as_curator.post(address, sent(as_curator, address, varieties=""))
    assert "Members hold wide rim" in response.content.decode()
    assert Variety.objects.filter(pk=variety.pk).exists()


def test_a_stale_edit_of_a_date_is_refused(as_curator: Client, coinage: Coinage) -> None:
    address = reverse("issue-edit", args=[coinage.type.key, "1947"])
    old = sent(as_curator, address, mintage="2", varieties="mine")
    as_curator.post(address, sent(as_curator, address, mintage="1", varieties="theirs"))
    response = as_curator.post(address, old)
    shown = {(d.stored, d.yours) for d in response.context["form"].stale}
    assert shown == {("1", "2"), ("theirs", "mine")}
    assert list(Variety.objects.values_list("name", flat=True)) == ["theirs"]


@pytest.mark.parametrize(("date", "said"), [("1953", "another issue"), ("1947, 1948", "names 2")])
def test_a_date_stays_one_date_of_its_own(
    as_curator: Client, coinage: Coinage, date: str, said: str
) -> None:
    address = reverse("issue-edit", args=[coinage.type.key, "1947"])
    response = as_curator.post(address, sent(as_curator, address, date=date))
    assert said in response.content.decode()


# ---- members ----
def test_a_member_adds_to_a_country_of_the_club_at_once(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    as_member.post(reverse("type-new"), new_type(coinage, name="own"))
    made = CoinType.objects.get(name="own")
    assert made.standing == CoinType.Standing.PROVISIONAL
    assert Proposal.objects.get().proposed_by == member
    assert as_member.get(reverse("type-edit", args=[made.key])).status_code == 200


def test_a_member_proposes_to_a_country_of_a_pack(as_member: Client, coinage: Coinage) -> None:
    coinage.issuer.pack = Pack.objects.create(key="p", title="P")
    coinage.issuer.save()
    as_member.post(reverse("type-new"), new_type(coinage, name="own", proposal_note="Seen it."))
    assert CoinType.objects.get(name="own").standing == CoinType.Standing.PROPOSED
    assert Proposal.objects.get().note == "Seen it."


def test_a_member_cannot_change_what_is_accepted(as_member: Client, coinage: Coinage) -> None:
    for name, args in (("type-edit", []), ("issue-edit", ["1947"]), ("type-join", [])):
        address = reverse(name, args=[coinage.type.key, *args])
        assert as_member.post(address, {}).status_code == 403


# ---- from a piece ----
def test_a_type_from_a_piece_takes_its_measures_and_the_piece(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(
        coin_type=None, title="a gull", mass_g="4.1", diameter_mm="21", date_reading="1947"
    )
    address = reverse("type-from-holding", args=[piece.pk])
    typed = sent(as_member, address)
    assert (str(typed["mass_g"]), typed["dates"], typed["name"]) == ("4.1", "1947", "a gull")
    chosen = {"country": coinage.issuer.name, "value": coinage.denomination.name}
    response = as_member.post(address, typed | chosen)
    assert response["Location"] == piece.get_absolute_url()
    piece.refresh_from_db()
    assert piece.coin_type is not None
    assert piece.issue is not None
    assert (piece.coin_type.standing, piece.issue.shown) == ("provisional", "1947")


def test_a_piece_is_found_by_the_date_that_a_type_made_from_it_gave_it(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    """Its only date was read off nothing: it came with the type."""
    piece = make_holding(coin_type=None, title="a gull")
    address = reverse("type-from-holding", args=[piece.pk])
    chosen = {"country": coinage.issuer.name, "value": coinage.denomination.name, "dates": "1949"}
    as_member.post(address, sent(as_member, address) | chosen)
    found = as_member.get("/holdings/", {"q": "1949"}).context["browse"].holdings
    assert [holding.pk for holding in found] == [piece.pk]


def test_a_type_is_not_made_from_the_piece_of_another(
    as_member: Client, other: Member, make_holding: Callable[..., Holding]
) -> None:
    seen = make_holding(coin_type=None, owner=other, visibility="club")
    hidden = make_holding(coin_type=None, owner=other, visibility="private")
    assert as_member.get(reverse("type-from-holding", args=[seen.pk])).status_code == 403
    assert as_member.get(reverse("type-from-holding", args=[hidden.pk])).status_code == 404
