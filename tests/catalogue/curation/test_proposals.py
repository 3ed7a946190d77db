"""Members propose, a curator decides, the proposer reads what became of it."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Member, Proposal
from series.models import CoinType, Pack
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db


@pytest.fixture
def proposal(as_member: Client, member: Member, coinage: Coinage) -> Proposal:
    """A change to the type of the coinage, proposed on its page."""
    address = reverse("type-propose", args=[coinage.type.key])
    form = as_member.get(address).context["form"]
    values: dict[str, Any] = {bound.name: bound.value() for bound in form}
    sent = {name: "" if v is None else v for name, v in values.items()}
    as_member.post(address, sent | {"diameter_mm": "22", "proposal_note": "Measured three."})
    return Proposal.objects.get()


def test_a_change_is_proposed_as_a_type_beside_it(proposal: Proposal, coinage: Coinage) -> None:
    made = proposal.coin_type
    assert made.standing == CoinType.Standing.PROPOSED
    assert list(made.issues.values_list("shown", flat=True)) == ["1931", "1947", "1953"]
    assert CoinType.objects.get(pk=coinage.type.pk).diameter_mm == 23.5


def test_the_curator_sees_what_differs_and_accepts(
    as_curator: Client, as_member: Client, proposal: Proposal
) -> None:
    address = reverse("proposal", args=[proposal.pk])
    page = as_curator.get(address).content.decode()
    assert "smaller by 1.5 mm" in page
    assert "Measured three." in page
    as_curator.post(address, {"decision": "accept", "answer": "Thank you."})
    proposal.refresh_from_db()
    assert (proposal.state, proposal.coin_type.standing) == ("accepted", "accepted")
    assert "Thank you." in as_member.get(reverse("curation")).content.decode()


def test_what_is_sent_back_needs_an_answer_and_comes_in_again_when_mended(
    as_curator: Client, as_member: Client, proposal: Proposal
) -> None:
    address = reverse("proposal", args=[proposal.pk])
    assert "what is missing" in as_curator.post(address, {"decision": "back"}).content.decode()
    as_curator.post(address, {"decision": "back", "answer": "Which mint?"})
    proposal.refresh_from_db()
    assert proposal.state == Proposal.State.REFUSED
    assert "Which mint?" in as_member.get(address).content.decode()
    edit = reverse("type-edit", args=[proposal.coin_type.key])
    form = as_member.get(edit).context["form"]
    values = {b.name: "" if b.value() is None else b.value() for b in form}
    as_member.post(edit, values | {"note": "Sund."})
    proposal.refresh_from_db()
    assert proposal.state == Proposal.State.WAITING


def test_a_change_is_taken_over_by_joining(
    as_curator: Client, proposal: Proposal, coinage: Coinage
) -> None:
    address = reverse("type-join", args=[proposal.coin_type.key])
    as_curator.post(address, {"keep": coinage.type.key, "take": "on"})
    kept = CoinType.objects.get(pk=coinage.type.pk)
    assert (kept.diameter_mm, kept.mass_g, kept.standing) == (22, Decimal("5.4"), "accepted")
    dates = kept.issues.order_by("struck_from").values_list("pk", flat=True)
    assert list(dates) == [issue.pk for issue in coinage.issues]
    proposal.refresh_from_db()
    assert proposal.state == Proposal.State.JOINED


def test_what_is_decided_is_not_decided_again(as_curator: Client, proposal: Proposal) -> None:
    address = reverse("proposal", args=[proposal.pk])
    as_curator.post(address, {"decision": "accept"})
    as_curator.post(address, {"decision": "back", "answer": "No."})
    proposal.refresh_from_db()
    assert proposal.state == Proposal.State.ACCEPTED


def test_a_member_decides_nothing_and_sees_no_other_proposals(
    as_member: Client, other: Member, proposal: Proposal
) -> None:
    address = reverse("proposal", args=[proposal.pk])
    assert as_member.post(address, {"decision": "accept"}).status_code == 403
    stranger = Client()
    stranger.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    assert stranger.get(address).status_code == 404
    assert proposal.coin_type.key not in stranger.get(reverse("curation")).content.decode()


def test_what_waits_comes_first(
    as_curator: Client, proposal: Proposal, coinage: Coinage, member: Member
) -> None:
    Proposal.objects.create(
        coin_type=coinage.type, proposed_by=member, state=Proposal.State.ACCEPTED
    )
    page = as_curator.get(reverse("curation")).context["page"]
    assert [one.state for one in page] == ["waiting", "accepted"]


def test_the_queue_asks_the_same_for_one_as_for_many(
    as_curator: Client,
    coinage: Coinage,
    member: Member,
    django_assert_max_num_queries: Callable[[int], Any],
) -> None:
    for number in range(30):
        made = CoinType.objects.create(
            key=f"t{number}", series=coinage.series, denomination=coinage.denomination
        )
        Proposal.objects.create(coin_type=made, proposed_by=member)
    with django_assert_max_num_queries(8):
        as_curator.get(reverse("curation"))


def test_a_pack_s_country_keeps_its_money_to_curators(
    as_member: Client, as_curator: Client, coinage: Coinage
) -> None:
    coinage.issuer.pack = Pack.objects.create(key="p", title="P")
    coinage.issuer.save()
    sent = {"issuer": coinage.issuer.pk, "currency": coinage.currency.pk, "name": "Second"}
    asked = as_member.get(reverse("series-new") + f"?issuer={coinage.issuer.key}")
    assert "so curators add to it" in asked.content.decode()
    refused = as_member.post(reverse("series-new"), sent)
    assert "issuer" in refused.context["form"].errors
    assert as_curator.post(reverse("series-new"), sent).status_code == 302
