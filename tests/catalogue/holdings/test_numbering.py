"""No number is given twice, however many pieces are entered at once."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import Any

import pytest
from django.db import OperationalError, connection, transaction

from catalogue.holdings.actions import copy, split, take_accessions
from catalogue.holdings.entry.saving import enter, tick
from catalogue.holdings.piece.forms import HoldingForm
from catalogue.models import Holding, Member

pytestmark = pytest.mark.django_db(transaction=True)


def by_form(piece: Holding, coinage: Any) -> str:
    fresh = Holding(owner=piece.owner, accession="2024.900")
    sent = {"title": "A find", "quantity": "1", "accession": "2024.901", "visibility": "club"}
    form = HoldingForm(sent | {"grade_scale": "british"}, instance=fresh, viewer=piece.owner)
    assert form.is_valid(), form.errors
    assert form.save_all()
    return fresh.accession


WAYS: dict[str, Callable[[Holding, Any], str]] = {
    "copied": lambda piece, coinage: copy(piece).accession,
    "split": lambda piece, coinage: split(piece, 1).accession,
    "entered": lambda piece, coinage: enter(piece.owner, title="A find").accession,
    "ticked": lambda piece, coinage: (
        tick(piece.owner, coinage.type, [coinage.issues[1].pk], scale="british")[0].accession
    ),
    "typed": by_form,
}


def meanwhile(owner: Member) -> Any:
    """What another visitor gets who numbers a piece of the same owner, and waits for no lock."""
    found: list[Any] = []

    def number() -> None:
        try:
            if connection.vendor == "postgresql":
                with connection.cursor() as cursor:
                    cursor.execute("SET lock_timeout = '100ms'")
            with transaction.atomic():
                found.extend(take_accessions(owner))
        except OperationalError as refused:
            found.append(refused)
        finally:
            connection.close()

    other = Thread(target=number)
    other.start()
    other.join()
    return found[0]


@pytest.mark.parametrize("way", WAYS)
def test_nobody_else_is_given_a_number_that_is_not_committed_yet(
    way: str, member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(quantity=3)
    with transaction.atomic():
        taken = WAYS[way](piece, coinage)
        assert isinstance(meanwhile(member), OperationalError)
    assert take_after(member) != taken


def take_after(owner: Member) -> str:
    with transaction.atomic():
        return take_accessions(owner)[0]
