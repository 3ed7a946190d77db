"""Loading a pack again: a curator's edits are kept, and what the pack lost is withdrawn."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from series.models import CoinType, Currency, Denomination, Issue, Legend, Mark, Series
from series.packs.load import load_pack

from .conftest import penny

Folder = Callable[..., Path]
pytestmark = pytest.mark.django_db


def test_a_curators_edit_is_kept_and_reported(folder: Folder) -> None:
    load_pack(folder())
    coin = penny()
    coin.mass_g = Decimal("6.45")
    coin.save()
    report = load_pack(
        folder(("mass_g = 6.5", "mass_g = 6.6"), ('edge = "plain"', 'edge = "reeded"'))
    )
    coin = penny()
    assert (coin.mass_g, coin.edge) == (Decimal("6.45"), "reeded")
    assert [(e.key, e.path, e.pack, e.here) for e in report.kept] == [
        ("isle-penny-gull", "mass_g", "6.6", "6.45")
    ]
    assert 'type isle-penny-gull, mass_g: "6.45" (the pack says "6.6")' in str(report)


def test_a_kept_edit_stays_kept_the_next_time(folder: Folder) -> None:
    load_pack(folder())
    CoinType.objects.filter(key="isle-penny-gull").update(mass_g="6.45")
    for mass in ("6.6", "6.7", "6.7"):
        report = load_pack(folder(("mass_g = 6.5", f"mass_g = {mass}")))
        assert report.of("kept", "types") == 1
    assert penny().mass_g == Decimal("6.45")


def test_an_edit_that_the_pack_catches_up_with_is_no_edit_any_more(folder: Folder) -> None:
    load_pack(folder())
    CoinType.objects.filter(key="isle-penny-gull").update(mass_g="6.6")
    assert not load_pack(folder(("mass_g = 6.5", "mass_g = 6.6"))).kept
    load_pack(folder(("mass_g = 6.5", "mass_g = 6.7")))
    assert penny().mass_g == Decimal("6.7")


def test_edits_of_faces_marks_and_issues_are_kept(folder: Folder) -> None:
    load_pack(folder())
    Legend.objects.filter(text="ISLE").update(text="THE ISLE")
    Mark.objects.filter(text="S").update(clock="5.5")
    Issue.objects.filter(key="1931").update(mintage=1)
    report = load_pack(
        folder(('"ISLE"', '"ISLES"'), ("clock = 6", "clock = 7"), ("= 12000", "= 13000"))
    )
    assert {(edit.kind, edit.path) for edit in report.kept} == {
        ("types", "obverse.legends"), ("types", "marks.mint/reverse/S"), ("issues", "mintage"),
    }  # fmt: skip
    assert penny().marks.get(text="S").clock == Decimal("5.5")
    assert penny().issues.get(key="1931").mintage == 1


def test_a_curators_own_issue_and_rung_are_left_alone(folder: Folder) -> None:
    load_pack(folder())
    Issue.objects.create(
        coin_type=penny(), key="1960", shown="1960", struck_from=1960, struck_to=1960
    )
    own = Denomination.objects.create(
        key="own", currency=Currency.objects.get(), name="own", value_numerator=1
    )
    Series.objects.get().rungs.create(denomination=own, not_struck=True)
    report = load_pack(folder(("mass_g = 6.5", "mass_g = 6.6")))
    assert not report.kept
    assert not penny().issues.get(key="1960").withdrawn
    assert Series.objects.get().rungs.filter(denomination=own).exists()


def test_what_is_gone_from_the_pack_is_withdrawn_not_deleted(folder: Folder) -> None:
    load_pack(folder())
    path = folder()
    text = (path / "types.toml").read_text("utf-8")
    (path / "types.toml").write_text(text[: text.index('[[types]]\nkey = "isle-shilling')], "utf-8")
    report = load_pack(path)
    assert (report.of("withdrawn", "types"), report.of("withdrawn", "issues")) == (1, 2)
    shilling = CoinType.objects.get(key="isle-shilling-gull")
    assert shilling.withdrawn
    assert all(issue.withdrawn for issue in shilling.issues.all())
    assert not penny().withdrawn


def test_holdings_keep_an_issue_that_is_withdrawn(folder: Folder, make_member: Any) -> None:
    from catalogue.models import Holding

    load_pack(folder())
    issue = penny().issues.get(key="1933")
    holding = Holding.objects.create(
        owner=make_member("ana"), accession="1", coin_type=penny(), issue=issue
    )
    load_pack(folder(("1931–33,", "1931–32,")))
    issue.refresh_from_db()
    holding.refresh_from_db()
    assert issue.withdrawn
    assert holding.issue == issue


def test_holdings_stay_on_an_issue_whose_calendar_the_pack_corrects(
    folder: Folder, make_member: Any
) -> None:
    from catalogue.models import Holding

    hijri = "١٣٥٢ (1933)"
    load_pack(folder(("1931–33,", f"1931–32, {hijri},")))
    issue = penny().issues.get(shown="١٣٥٢")
    holding = Holding.objects.create(
        owner=make_member("ana"), accession="1", coin_type=penny(), issue=issue
    )
    report = load_pack(folder(("1931–33,", f"1931–32, AH {hijri},")))
    issue.refresh_from_db()
    holding.refresh_from_db()
    assert (issue.key, issue.calendar, issue.withdrawn) == ("ah-1352", "AH", False)
    assert holding.issue == issue
    assert (report.of("added", "issues"), report.of("withdrawn", "issues")) == (0, 0)
    assert not load_pack(folder(("1931–33,", f"1931–32, AH {hijri},"))).changed_anything


def test_what_comes_back_is_no_longer_withdrawn(folder: Folder) -> None:
    load_pack(folder())
    load_pack(folder(("1931–33,", "1931–32,")))
    report = load_pack(folder())
    assert report.of("brought back", "issues") == 1
    assert not penny().issues.get(key="1933").withdrawn


def test_a_mark_that_a_withdrawn_issue_bears_stays(folder: Folder) -> None:
    load_pack(folder())
    load_pack(
        folder(
            ('{ text = "S", side = "reverse", clock = 6, mint = "isle-mint" },', ""),
            ("1931 S, 1940", "1940"), (" 1953 S proof", ""), (', "1931 S" = 800', ""),
            ("1953 S proof", "1953 proof"),
        )
    )  # fmt: skip
    assert penny().issues.get(key="1931-s").marks.get().text == "S"
    assert not CoinType.objects.get(key="isle-shilling-gull").marks.filter(text="S").exists()


def test_a_mark_that_a_curator_took_out_stays_out(folder: Folder) -> None:
    load_pack(folder())
    penny().marks.filter(text="S").delete()
    load_pack(folder(("1931 S, 1940", "1931 S, 1934 S, 1940")))
    issue = penny().issues.get(key="1934-s")
    assert (issue.mark_text, issue.marks.count()) == ("S", 0)


def test_a_record_in_the_bin_stays_there(folder: Folder) -> None:
    load_pack(folder())
    penny().bin()
    report = load_pack(folder(("mass_g = 6.5", "mass_g = 6.6")))
    binned = CoinType.everything.get(key="isle-penny-gull")
    assert binned.deleted_at is not None
    assert binned.mass_g == Decimal("6.5")
    assert any(edit.here == "in the bin" for edit in report.kept)
