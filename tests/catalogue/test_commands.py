"""Commands of an administrator on the machine: the first administrator, links, the bin."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone
from PIL import Image

from catalogue.management.commands import first_administrator
from catalogue.models import Aim, HandedLink, Holding, Member, Photo, Place
from series.models import CoinType, Denomination
from series.picture.pictures import FULL, keep_image, picture_name
from valuation.models import PriceSource, Valuation

PASSWORD = "an even longer password"


def _run(name: str, *args: str, **options: Any) -> str:
    out = io.StringIO()
    call_command(name, *args, stdout=out, **options)
    return out.getvalue()


def _opens(said: str) -> bool:
    address = re.search(r"http://127\.0\.0\.1:8000(/link/[\w-]+/)", said)
    assert address
    sent = {"new_password1": PASSWORD, "new_password2": PASSWORD}
    return Client().post(address[1], sent).status_code == 302


# ---- the first administrator ----
def test_the_first_administrator_gets_a_link(db: None) -> None:
    said = _run("first_administrator", "ana")
    ana = Member.objects.get()
    assert (ana.role, ana.has_usable_password()) == ("administrator", False)
    assert _opens(said)
    ana.refresh_from_db()
    assert ana.check_password(PASSWORD)


def test_the_first_administrator_may_type_a_password(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(first_administrator.getpass, "getpass", lambda prompt: PASSWORD)
    said = _run("first_administrator", "ana", password=True)
    assert Member.objects.get().check_password(PASSWORD)
    assert "link" not in said


@pytest.mark.parametrize("answers", [["one long password", "another password"], ["short", "short"]])
def test_a_password_that_will_not_do_makes_no_member(
    db: None, monkeypatch: pytest.MonkeyPatch, answers: list[str]
) -> None:
    given = iter(answers)
    monkeypatch.setattr(first_administrator.getpass, "getpass", lambda prompt: next(given))
    with pytest.raises(CommandError):
        _run("first_administrator", "ana", password=True)
    assert not Member.objects.exists()


def test_a_second_first_administrator_is_refused(administrator: Member) -> None:
    with pytest.raises(CommandError, match="administrator already: adam"):
        _run("first_administrator", "ana")
    assert Member.objects.count() == 1


@pytest.mark.parametrize("name", ["ana", "two words", ""])
def test_a_sign_in_name_that_will_not_do_is_refused(member: Member, name: str) -> None:
    with pytest.raises(CommandError):
        _run("first_administrator", name)
    assert Member.objects.count() == 1


# ---- a link for a member ----
def test_hand_link_prints_a_link_that_works(member: Member) -> None:
    assert _opens(_run("hand_link", "ana"))


def test_hand_link_names_a_member_it_does_not_know(db: None) -> None:
    with pytest.raises(CommandError, match="nobody"):
        _run("hand_link", "nobody")


def test_hand_link_refuses_who_may_not_sign_in(make_member: Callable[..., Member]) -> None:
    make_member("gone", is_active=False)
    with pytest.raises(CommandError):
        _run("hand_link", "gone")
    assert not HandedLink.objects.exists()


# ---- the bin ----
def _bin(*records: Any, days: int = 91) -> None:
    for record in records:
        type(record).everything.filter(pk=record.pk).update(
            deleted_at=timezone.now() - timedelta(days=days)
        )


def test_what_lay_in_the_bin_for_90_days_goes(make_holding: Callable[..., Holding]) -> None:
    old, fresh, kept = make_holding(), make_holding(), make_holding()
    _bin(old)
    _bin(fresh, days=89)
    said = _run("empty_bin")
    assert set(Holding.everything.all()) == {fresh, kept}
    assert "1 × holding gone for good" in said


def test_an_empty_bin_says_so(db: None) -> None:
    assert "Nothing in the bin is due" in _run("empty_bin")


@pytest.mark.django_db(transaction=True)
def test_photographs_go_with_their_holding_and_their_files(
    make_holding: Callable[..., Holding],
) -> None:
    old, other = make_holding(), make_holding()
    only, shared = (keep_image(Image.new("RGB", (20, 20), c)) for c in ("#aa0000", "#00aa00"))
    for holding, kept in ((old, only), (old, shared), (other, shared)):
        Photo.objects.create(holding=holding, digest=kept.digest, width=20, height=20)
    _bin(old)
    _run("empty_bin")
    assert Photo.everything.get().holding == other
    assert not default_storage.exists(picture_name(only.digest, FULL))
    assert default_storage.exists(picture_name(shared.digest, FULL))


def test_a_place_goes_after_what_stood_in_it(member: Member) -> None:
    outer = Place.objects.create(owner=member, name="Cabinet")
    inner = Place.objects.create(owner=member, name="Drawer", within=outer)
    _bin(outer, inner)
    _run("empty_bin")
    assert not Place.everything.exists()


def test_a_place_stays_while_something_stands_in_it(member: Member) -> None:
    outer = Place.objects.create(owner=member, name="Cabinet")
    Place.objects.create(owner=member, name="Drawer", within=outer)
    _bin(outer)
    assert "1 × place kept" in _run("empty_bin")
    assert Place.everything.count() == 2


def test_a_type_goes_only_after_the_holdings_of_it(
    coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    holding = make_holding()
    _bin(coinage.type)
    _run("empty_bin")
    assert CoinType.everything.exists()
    _bin(holding)
    _run("empty_bin")
    assert not Holding.everything.exists()
    assert not CoinType.everything.exists()


def test_a_record_in_use_never_goes_with_one_from_the_bin(coinage: Any, member: Member) -> None:
    aim = Aim.objects.create(owner=member, name="All", coin_type=coinage.type)
    _bin(coinage.type, coinage.issuer)
    said = _run("empty_bin")
    assert CoinType.everything.exists()
    assert Aim.objects.get() == aim
    assert "kept: other records still need it" in said


def test_a_protected_denomination_waits_for_its_type(coinage: Any) -> None:
    _bin(coinage.type, coinage.denomination)
    _run("empty_bin")
    assert not Denomination.everything.exists()


def test_a_source_goes_after_the_values_from_it(
    coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    source = PriceSource.objects.create(name="A list")
    value = Valuation.objects.create(
        holding=make_holding(), single="1", on=timezone.localdate(), source=source
    )
    _bin(source)
    _run("empty_bin")
    assert PriceSource.everything.exists()
    _bin(value)
    _run("empty_bin")
    assert not PriceSource.everything.exists()
    assert Holding.objects.count() == 1


def test_links_that_ended_unused_go_too(member: Member) -> None:
    _run("hand_link", "ana")
    _run("empty_bin")
    assert HandedLink.objects.count() == 1
    HandedLink.objects.update(expires_at=timezone.now())
    _run("empty_bin")
    assert not HandedLink.objects.exists()
