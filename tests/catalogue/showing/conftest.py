"""A page for others, its secret link, and a piece with a secret in every field."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone

from catalogue.models import (
    Holding,
    HoldingProblem,
    HoldingReference,
    Member,
    Place,
    ProvenanceLine,
    Receipt,
    Showing,
    StatusChange,
)
from valuation.models import PriceSource, Valuation


@pytest.fixture
def showing(member: Member, coinage: Any) -> Showing:
    return Showing.objects.create(
        owner=member,
        title="Coins of the quay",
        intro="Look closely.",
        follows=True,
        query=f"series={coinage.series.pk}",
    )


@pytest.fixture
def link(showing: Showing) -> str:
    return f"/shown/{showing.new_link(timezone.now() + datetime.timedelta(days=30))}/"


@pytest.fixture
def full_of_secrets(member: Member, coinage: Any, make_holding: Callable[..., Holding]) -> Holding:
    """A piece with something of its own in every field that is private to its owner."""
    Member.objects.filter(pk=member.pk).update(username="secretname", name="Secretname")
    place = Place.objects.create(owner=member, name="secretplace", path="secretplace")
    today = timezone.localdate()
    piece = make_holding(
        issue=coinage.issues[1],
        accession="secretaccession",
        title="secrettitle",
        place=place,
        price="7654.32",
        price_currency="EUR",
        acquired_from="secretvendor",
        acquired_on=today,
        graded_by="secretgrader",
        note="secretnote",
        mass_g="6.5432",
    )
    ProvenanceLine.objects.create(holding=piece, text="secretprovenance")
    HoldingReference.objects.create(holding=piece, work="secretwork")
    HoldingProblem.objects.create(holding=piece, kind="bent", note="secretproblem")
    paper = default_storage.save("receipts/secretpaper.pdf", ContentFile(b"%PDF"))
    Receipt.objects.create(
        holding=piece, name="secretpaper", file=paper, content_type="application/pdf"
    )
    StatusChange.objects.create(
        holding=piece, status="held", on=today, with_whom="secretborrower", amount="8765.43"
    )
    source = PriceSource.objects.create(owner=member, name="secretsource")
    Valuation.objects.create(
        holding=piece, single="987.54", on=today, source=source, entered_by=member
    )
    return piece
