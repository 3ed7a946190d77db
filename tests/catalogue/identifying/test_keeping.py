"""Keeping what was identified and what was not: the services and the page's two buttons."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client

from catalogue.holdings.actions import HoldingError
from catalogue.identifying.keeping import keep_identified, keep_open
from catalogue.models import Holding, Member, Observation, Proposal
from series.identifying.evidence import read_evidence
from series.models import CoinType, Issue
from series.records import StaleEdit
from series.types.joining import join_types
from tests.conftest import Coinage
from tests.markup import markup

from .conftest import SEEN

pytestmark = pytest.mark.django_db
MakeHolding = Callable[..., Holding]


def send(client: Client, **more: Any) -> Any:
    return client.post("/identify/keep/", SEEN | {"type": "", "issue": "", "holding": ""} | more)


def carried(response: Any) -> dict[str, str]:
    """What an answer carries back to the page of identification."""
    address = urlsplit(response["Location"])
    assert address.path == "/identify/"
    return {name: values[0] for name, values in parse_qs(address.query).items()}


# ---- this is it ----
def test_this_is_it_makes_a_holding_with_all_that_was_seen(
    as_member: Client, coinage: Coinage, make_holding: MakeHolding
) -> None:
    make_holding(grade_scale="continental", visibility="private", accession="OLD")
    response = send(as_member, type=coinage.type.pk, issue=coinage.issues[1].pk)
    made = Holding.objects.exclude(accession="OLD").get()
    assert response["Location"] == f"/holdings/{made.pk}/edit/"
    assert (made.coin_type, made.issue) == (coinage.type, coinage.issues[1])
    assert (made.diameter_mm, made.diameter_within) == (Decimal("23.4"), Decimal("0.1"))
    assert (made.mass_g, made.mass_within) == (Decimal("5.35"), Decimal("0.02"))
    assert made.thickness_mm is None
    assert (made.grade_scale, made.visibility) == ("continental", "private")
    assert made.observation.texts == SEEN
    assert made.accession in as_member.get(response["Location"]).text


def test_a_date_read_in_part_is_kept_beside_the_issue_chosen(
    member: Member, coinage: Coinage
) -> None:
    evidence = read_evidence({"year": "194?"})
    assert keep_identified(member, evidence, coinage.type, coinage.issues[1]).date_reading == "194X"
    whole = read_evidence({"year": "1947"})
    assert keep_identified(member, whole, coinage.type, coinage.issues[1]).date_reading == ""


def test_without_an_issue_the_date_is_what_the_type_was_struck_with(
    member: Member, coinage: Coinage
) -> None:
    made = keep_identified(member, read_evidence({"year": "19??"}), coinage.type)
    assert made.date_reading == "[1931,1947,1953]"
    elsewhere = keep_identified(member, read_evidence({"year": "180?"}), coinage.type)
    assert elsewhere.date_reading == "180X"


def test_a_figure_that_the_issues_do_not_settle_stays_unread(
    member: Member, coinage: Coinage
) -> None:
    for year in map(str, range(1960, 1978)):
        Issue.objects.create(
            coin_type=coinage.type, key=year, shown=year, struck_from=year, struck_to=year
        )
    made = keep_identified(member, read_evidence({"year": "196?"}), coinage.type)
    assert made.date_reading == "196X"
    made = keep_identified(member, read_evidence({"year": "197?"}), coinage.type)
    assert made.date_reading == "[1970..1977]"


def test_a_date_of_another_calendar_is_kept_as_civil_years(
    member: Member, coinage: Coinage
) -> None:
    made = keep_open(member, read_evidence({"year": "١٣٨٩", "calendar": "AH"}))
    assert made.date_reading == "[1969,1970]"  # 1 Muharram 1389 AH is 20 March 1969


def test_an_issue_of_another_type_is_refused_and_nothing_lost(
    as_member: Client, coinage: Coinage
) -> None:
    other = CoinType.objects.create(
        key="other", series=coinage.series, denomination=coinage.denomination
    )
    issue = Issue.objects.create(coin_type=other, key="1931", shown="1931")
    response = send(as_member, type=coinage.type.pk, issue=issue.pk)
    assert carried(response) == SEEN
    assert not Holding.objects.exists()


def test_what_was_not_struck_is_refused(member: Member, coinage: Coinage) -> None:
    issue = coinage.issues[0]
    issue.fact = Issue.Fact.NOT_STRUCK
    issue.save()
    with pytest.raises(HoldingError, match="was not struck"):
        keep_identified(member, read_evidence(SEEN), coinage.type, issue)


def test_a_type_the_member_may_not_see_is_not_there(as_member: Client, coinage: Coinage) -> None:
    coinage.type.standing = CoinType.Standing.PROPOSED
    coinage.type.save()
    assert send(as_member, type=coinage.type.pk).status_code == 404
    assert send(as_member, type="12x").status_code == 404
    assert not Holding.objects.exists()


def test_a_proposed_type_of_another_cannot_be_held_by_a_curator_either(
    client: Client, curator: Member, member: Member, coinage: Coinage
) -> None:
    coinage.type.standing = CoinType.Standing.PROPOSED
    coinage.type.save()
    Proposal.objects.create(coin_type=coinage.type, proposed_by=member)
    client.force_login(curator, backend="django.contrib.auth.backends.ModelBackend")
    assert carried(send(client, type=coinage.type.pk)) == SEEN
    assert not Holding.objects.exists()


def test_a_type_joined_meanwhile_is_kept_as_the_other(as_member: Client, coinage: Coinage) -> None:
    gone = CoinType.objects.create(
        key="gone", series=coinage.series, denomination=coinage.denomination
    )
    join_types(gone, coinage.type)
    send(as_member, type=gone.pk)
    assert Holding.objects.get().coin_type == coinage.type


def test_what_cannot_be_read_goes_back_with_all_that_was_put_in(as_member: Client) -> None:
    response = send(as_member, mass="heavy")
    assert carried(response) == SEEN | {"mass": "heavy"}
    assert not Holding.objects.exists()
    words = [str(m) for m in as_member.get("/account/").context["messages"]]
    assert "'heavy' is no number" in words[0]


def test_letters_that_no_database_keeps_are_left_out(as_member: Client) -> None:
    send(as_member, legend="LIB\x00?RTY")
    assert Observation.objects.get().texts == SEEN


def test_nothing_seen_is_nothing_to_keep(as_member: Client) -> None:
    assert carried(as_member.post("/identify/keep/")) == {}
    assert not Holding.objects.exists()


# ---- not sure ----
def test_not_sure_keeps_an_unidentified_piece_with_its_evidence(
    as_member: Client, coinage: Coinage
) -> None:
    response = send(as_member)
    made = Holding.objects.get()
    assert response["Location"] == made.get_absolute_url()
    assert (made.coin_type, made.title) == (None, "LIB?RTY, 194?, 23.4 mm, white")
    assert made.date_reading == "194X"
    assert "lib rty" in made.search_text
    assert made.observation.texts == SEEN
    assert made.observation.likely_type == coinage.type
    assert made.observation.probability is not None
    assert 0 < made.observation.probability < 1


def test_with_no_type_in_the_records_nothing_is_likely(member: Member) -> None:
    made = keep_open(member, read_evidence(SEEN))
    assert (made.observation.likely_type, made.observation.probability) == (None, 0)


# ---- an unidentified piece of one's own, looked at again ----
def test_a_piece_looked_at_again_becomes_what_it_is(
    as_member: Client, unknown: Holding, coinage: Coinage
) -> None:
    Holding.objects.filter(pk=unknown.pk).update(note="from the ferry office")
    send(
        as_member, holding=unknown.pk, row_version=unknown.row_version, mass="5.31",
        type=coinage.type.pk, issue=coinage.issues[1].pk,
    )  # fmt: skip
    kept = Holding.objects.get()
    assert (kept.coin_type, kept.issue, kept.mass_g) == (
        coinage.type, coinage.issues[1], Decimal("5.31"),
    )  # fmt: skip
    assert (kept.accession, kept.note) == (unknown.accession, "from the ferry office")
    assert kept.observation.texts["mass"] == "5.31"
    assert kept.observation.likely_type is None


def test_a_piece_that_stays_open_keeps_its_own_title(as_member: Client, unknown: Holding) -> None:
    Holding.objects.filter(pk=unknown.pk).update(title="the ferryman's coin")
    send(as_member, holding=unknown.pk, row_version=unknown.row_version, hole="round")
    kept = Holding.objects.get()
    assert kept.title == "the ferryman's coin"
    assert kept.observation.texts == SEEN | {"hole": "round"}


@pytest.mark.parametrize("version", ["1", "", "x"])
def test_a_stale_edit_is_refused_and_shows_both(
    as_member: Client, unknown: Holding, coinage: Coinage, version: str
) -> None:
    unknown.mass_g = Decimal("5.6")
    unknown.save()
    response = send(as_member, holding=unknown.pk, row_version=version, type=coinage.type.pk)
    assert carried(response) == SEEN | {"holding": str(unknown.pk)}
    stored = Holding.objects.get()
    assert (stored.coin_type, stored.mass_g) == (None, Decimal("5.6"))
    words = str(next(iter(as_member.get("/account/").context["messages"])))
    assert "Mass: 5.6 g, read to ± 0.02 g is stored, you put in 5.35 g" in words


def test_a_piece_identified_meanwhile_is_left_alone(
    as_member: Client, make_holding: MakeHolding, coinage: Coinage
) -> None:
    done = make_holding()
    response = send(as_member, holding=done.pk, row_version=1)
    assert carried(response) == SEEN
    assert Holding.objects.get().coin_type == coinage.type
    with pytest.raises(HoldingError, match="identified by now"):
        keep_open(done.owner, read_evidence(SEEN), over=done, seen_version=1)


def test_the_service_refuses_a_stale_version_and_anothers_piece(
    unknown: Holding, other: Member
) -> None:
    evidence = read_evidence({"mass": "5"})
    with pytest.raises(StaleEdit):
        keep_open(unknown.owner, evidence, over=unknown, seen_version=7)
    assert Observation.objects.get().texts == SEEN
    with pytest.raises(PermissionError):
        keep_open(other, evidence, over=unknown, seen_version=1)


def test_anothers_piece_is_refused(client: Client, other: Member, unknown: Holding) -> None:
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    assert send(client, holding=unknown.pk, row_version=1).status_code == 403
    Holding.objects.filter(pk=unknown.pk).update(visibility="private")
    assert send(client, holding=unknown.pk, row_version=1).status_code == 404
    assert Observation.objects.get().texts == SEEN


# ---- from the page itself ----
def form_of(page: str, kind: str) -> dict[str, str]:
    """What a form of the page of identification sends, as a browser would."""
    form = markup(page).split(f'<form class="{kind}"', 1)[1].split("</form>", 1)[0]
    sent = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', form))
    for name, options in re.findall(r'<select id="[^"]*" name="(\w+)">(.*?)</select>', form, re.S):
        chosen = re.findall(r'value="(\d*)" selected', options)
        sent[name] = chosen[0] if chosen else ""
    return {name: html.unescape(value) for name, value in sent.items()}


def test_not_sure_then_this_is_it_from_the_page(as_member: Client, coinage: Coinage) -> None:
    seen = SEEN | {"year": "1947"}
    page = as_member.get("/identify/", seen).text
    as_member.post("/identify/keep/", form_of(page, "not-sure"))
    piece = Holding.objects.get()
    assert (piece.coin_type, piece.observation.texts) == (None, seen)
    again = as_member.get(f"/identify/?holding={piece.pk}").text
    as_member.post("/identify/keep/", form_of(again, "this-is-it"))
    kept = Holding.objects.get()
    assert (kept.pk, kept.coin_type, kept.issue) == (piece.pk, coinage.type, coinage.issues[1])


def test_after_a_stale_edit_the_page_can_be_sent_again(
    as_member: Client, coinage: Coinage, unknown: Holding
) -> None:
    seen = {"mass": "5.3", "diameter": "23.5", "year": "1947"}
    before = as_member.get("/identify/", seen | {"holding": unknown.pk}).text
    unknown.note = "changed meanwhile"
    unknown.save()
    refused = as_member.post("/identify/keep/", form_of(before, "this-is-it"))
    assert carried(refused) == seen | {"holding": str(unknown.pk)}
    page = as_member.get(refused["Location"]).text
    assert "was changed since you opened this page" in page
    as_member.post("/identify/keep/", form_of(page, "this-is-it"))
    kept = Holding.objects.get()
    assert (kept.coin_type, kept.note) == (coinage.type, "changed meanwhile")
