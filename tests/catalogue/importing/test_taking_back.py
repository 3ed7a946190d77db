"""A list is taken back whole, or it stays and says which pieces were used."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.history.taking_back import CannotTakeBack
from catalogue.history.taking_back import take_back as history_take_back
from catalogue.holdings.bulk.change import bin_all
from catalogue.importing import tasks
from catalogue.importing.settling import doubtful, settle_all
from catalogue.importing.taking_back import Touched, take_back, touched
from catalogue.models import Deed, Holding, ImportedList, Member, Photo, Place, Want
from series.models import CoinType, Currency, Denomination, Issuer, Series
from tests.conftest import Coinage
from valuation.models import PriceSource, Valuation

from .brought import bring_in, listed, outcomes, picture, row, taken_in, zipped

pytestmark = pytest.mark.django_db


def test_all_it_made_is_gone_and_it_can_come_again(member: Member, coinage: Coinage) -> None:
    brought = taken_in(member, listed(row(number="K-1", place="Box"), row("1947")))
    assert take_back(brought) == 2
    assert not Holding.everything.exists()
    assert not Place.everything.exists()
    assert outcomes(brought) == ["make", "make"]
    assert brought.state == ImportedList.State.BACK
    tasks.take_in(brought)
    assert Holding.objects.filter(accession="K-1").count() == 1
    assert Holding.objects.count() == 2


def test_what_it_changed_is_as_it_was(
    member: Member, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(accession="K-7", issue=coinage.issues[0], grade="F", grade_scale="british")
    brought = taken_in(member, listed(row(number="K-7", grade="EF", place="Box", ticket="blue")))
    piece.refresh_from_db()
    assert (piece.grade, piece.imported != "", piece.place is None) == ("EF", True, False)
    take_back(brought)
    piece.refresh_from_db()
    assert (piece.grade, piece.imported, piece.place) == ("F", "", None)
    assert "blue" not in piece.own_text


def test_provisional_types_and_their_country_go_too(member: Member, coinage: Coinage) -> None:
    kinds = (CoinType, Series, Denomination, Currency, Issuer)
    before = [kind.everything.count() for kind in kinds]
    brought = _with_provisional(member)
    assert [kind.everything.count() for kind in kinds] == [n + 1 for n in before]
    take_back(brought)
    assert [kind.everything.count() for kind in kinds] == before


def _with_provisional(member: Member) -> ImportedList:
    brought = bring_in(member, listed(row("1901", "10 ort", country="Skarvø")))
    settle_all(brought, doubtful(brought), "provisional")
    tasks.take_in(brought)
    brought.refresh_from_db()
    return brought


def test_a_provisional_type_that_somebody_uses_stays(
    member: Member, other: Member, coinage: Coinage
) -> None:
    brought = _with_provisional(member)
    made = CoinType.objects.get(standing=CoinType.Standing.PROVISIONAL)
    Want.objects.create(owner=other, coin_type=made, issue=made.issues.first())
    take_back(brought)
    assert CoinType.objects.filter(pk=made.pk).exists()
    assert Issuer.objects.filter(name="Skarvø").exists()
    assert Want.objects.filter(owner=other, issue__isnull=False).exists()


def _edit(piece: Holding) -> None:
    piece.note = "seen again"
    piece.save()


def _bin(piece: Holding) -> None:
    bin_all(Holding.objects.filter(pk=piece.pk))


def _photograph(piece: Holding) -> None:
    Photo.objects.create(holding=piece, digest="d" * 64, width=1, height=1)


def _value(piece: Holding) -> None:
    Valuation.objects.create(
        holding=piece,
        single="5",
        on="2024-03-01",
        source=PriceSource.objects.create(owner=piece.owner, name="Notes"),
        entered_by=piece.owner,
    )


@pytest.mark.parametrize("use", [_edit, _bin, _photograph, _value])
def test_a_piece_that_was_used_keeps_the_list(
    use: Callable[[Holding], None], member: Member, coinage: Coinage
) -> None:
    brought = taken_in(member, listed(row(number="K-1"), row("1947", number="K-2")))
    use(Holding.objects.get(accession="K-2"))
    assert touched(brought) == ["K-2"]
    with pytest.raises(Touched, match="K-2"):
        take_back(brought)
    assert Holding.everything.count() == 2


def test_pictures_that_came_along_go_with_their_files(
    member: Member, coinage: Coinage, django_capture_on_commit_callbacks: Any, settings: Any
) -> None:
    brought = taken_in(
        member, listed(row(number="K-1")), pictures=zipped(**{"K-1__png": picture()})
    )
    assert Photo.objects.count() == 1
    assert list((settings.MEDIA_ROOT / "pictures").rglob("*.webp"))
    with django_capture_on_commit_callbacks(execute=True):
        take_back(brought)
    assert not Photo.everything.exists()
    assert not list((settings.MEDIA_ROOT / "pictures").rglob("*.webp"))


def test_a_list_is_taken_back_on_its_own_page_and_not_by_the_history(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    """By the history its pieces would lie in the bin, and the list still call itself taken in."""
    brought = taken_in(member, listed(row(), row("1947")))
    deed = Deed.objects.get(back_at=brought.get_absolute_url())
    with pytest.raises(CannotTakeBack, match="on the page of what was brought in"):
        history_take_back(deed, member)
    page = as_member.get(reverse("change", args=[deed.pk])).content.decode()
    assert f'href="{brought.get_absolute_url()}"' in page
    assert "The list my list.csv taken in: 2 records" in page
    assert reverse("change-take-back", args=[deed.pk]) not in page
