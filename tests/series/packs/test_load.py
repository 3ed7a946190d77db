"""Loading packs: all or nothing, twice the same, updated in place, curators' edits kept."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from series.models import (
    CoinType,
    Currency,
    Denomination,
    Face,
    Issue,
    Issuer,
    Legend,
    Mark,
    Mint,
    Motif,
    Pack,
    Reference,
    Series,
    Source,
    Variety,
)
from series.packs.load import load_pack
from series.packs.reading import PackErrors
from series.packs.writing_back import MODELS
from series.signals import pack_loaded, types_changed
from series.text.folding import fold

Folder = Callable[..., Path]

pytestmark = pytest.mark.django_db


def versions() -> dict[str, Any]:
    """The row version and time of change of every record that has one."""
    found: dict[str, Any] = {}
    for model in (*MODELS.values(), Face, Issue, Variety):
        for pk, version, changed in model.everything.values_list("pk", "row_version", "changed_at"):
            found[f"{model.__name__} {pk}"] = (version, changed)
    return found


def penny() -> CoinType:
    found: CoinType = CoinType.objects.get(key="isle-penny-gull")
    return found


def test_it_works(folder: Folder) -> None:
    report = load_pack(folder())
    assert report.of("added", "types") == 2
    assert report.of("added", "issues") == 9
    coin = penny()
    assert (coin.denomination.name, coin.series.issuer.name) == ("penny", "Isle")
    assert (coin.diameter_mm, coin.mass_g) == (Decimal("25.4"), Decimal("6.5"))
    assert [face.side for face in coin.faces.all()] == ["obverse", "reverse"]
    obverse = coin.faces.get(side="obverse")
    assert [legend.text for legend in obverse.legends.all()] == ["ISLE", "جزيرة"]
    assert [(s.motif.key, s.note) for s in obverse.shown.all()] == [("herring-gull", "on a post")]
    assert [credit.person.key for credit in obverse.credits.all()] == ["isle-ada-moy"]
    assert Motif.objects.get(key="herring-gull").broader.get().key == "bird"
    assert Denomination.objects.get(key="isle-penny").sort_value == pytest.approx(1 / 240)
    assert Pack.objects.get().title == "Coins of the Isle"
    assert Issuer.objects.get().citations == [{"source": "isle-act", "where": "section 1"}]


def test_issues_carry_marks_mintages_references_and_varieties(folder: Folder) -> None:
    load_pack(folder())
    proof = penny().issues.get(key="1953-s-proof")
    assert (proof.label, proof.mintage, proof.purpose) == ("1953 S", 25, "proof")
    assert proof.marks.get().mint.key == "isle-mint"
    assert proof.references.get().number == "14"
    assert proof.varieties.get().name == "wide 3"
    assert penny().issues.get(key="1931").marks.count() == 0


def test_what_is_derived_is_worked_out(folder: Folder) -> None:
    load_pack(folder())
    coin = penny()
    assert (coin.first_year, coin.last_year) == (1931, 1953)
    assert "bird" in coin.search_text
    assert fold("jazīra") in coin.search_text


def test_the_same_pack_again_changes_nothing(folder: Folder) -> None:
    load_pack(folder())
    before = versions()
    report = load_pack(folder())
    assert not report.changed_anything
    assert str(report) == "Pack isle: nothing to change."
    assert versions() == before


def test_a_changed_pack_updates_in_place(folder: Folder) -> None:
    load_pack(folder())
    before = penny()
    report = load_pack(
        folder(("mass_g = 6.5", "mass_g = 6.6"), ('"1931 S" = 800', '"1931 S" = 900'))
    )
    assert (report.of("changed", "types"), report.of("changed", "issues")) == (1, 1)
    after = penny()
    assert after.pk == before.pk
    assert after.row_version == before.row_version + 1
    assert after.mass_g == Decimal("6.6")
    assert after.issues.get(key="1931-s").mintage == 900


@pytest.mark.parametrize(
    ("old", "new", "look", "expected"),
    [
        ('name = "Isle"', 'name = "The Isle"', lambda: Issuer.objects.get().name, "The Isle"),
        (
            "shilling = 20, ", "", lambda: [u.name for u in Currency.objects.get().units.all()],
            ["penny"],
        ),
        (
            "2 loaves", "3 loaves", lambda: Currency.objects.get().price_notes.get().bought,
            "3 loaves",
        ),
        (
            'value = "1/20"', 'value = "1/10"',
            lambda: float(Denomination.objects.get(key="isle-shilling").sort_value), 0.1,
        ),
        ('name = "Harbour"', 'name = "Quay"', lambda: Mint.objects.get().name, "Quay"),
        (
            'broader = ["bird"]', "broader = []",
            lambda: Motif.objects.get(key="herring-gull").broader.count(), 0,
        ),
        (
            'dates = "1931–32"', 'dates = "1931–34"',
            lambda: Series.objects.get().rungs.get(denomination__key="isle-shilling").last_year,
            1934,
        ),
        ('"ISLE",', "", lambda: Legend.objects.filter(text="ISLE").count(), 0),
        ("on a post", "in flight", lambda: penny().faces.first().shown.get().note, "in flight"),
        (
            '["isle-ada-moy"]', "[]",
            lambda: penny().faces.get(side="obverse").credits.count(), 0,
        ),
        ("clock = 6", "clock = 3.25", lambda: penny().marks.get(text="S").clock, Decimal("3.25")),
        ('number = "14"', 'number = "15"', lambda: Reference.objects.get().number, "15"),
        ("1953 S proof, ", "1953 S proof, ", lambda: Issue.objects.count(), 9),
        (
            'name = "wide 3"', 'name = "wide three"',
            lambda: Variety.objects.get().name, "wide three",
        ),
        ('edge = "plain"', 'edge = { finish = "plain", legends = ["SEA"] }',
         lambda: penny().faces.get(side="edge").legends.get().text, "SEA"),
        ("Coinage Act", "Coin Act", lambda: Source.objects.get().title, "Coin Act"),
        ("Coins of the Isle", "Isle", lambda: Pack.objects.get().title, "Isle"),
    ],
)  # fmt: skip
def test_every_part_is_brought_up_to_date(
    folder: Folder, old: str, new: str, look: Callable[[], Any], expected: Any
) -> None:
    load_pack(folder())
    load_pack(folder((old, new)))
    assert look() == expected
    before = versions()
    assert not load_pack(folder((old, new))).changed_anything
    assert versions() == before


def test_an_issue_that_is_added_finds_its_place(folder: Folder) -> None:
    load_pack(folder())
    load_pack(folder(("1931–33, 1931 S", "1931 S, 1931–33")))
    load_pack(folder(("1931–33, 1931 S", r"1931 \"small date\", 1931–33, 1931 S")))
    shown = [(issue.label, issue.note) for issue in penny().issues.filter(struck_from=1931)]
    assert shown == [("1931", "small date"), ("1931", ""), ("1931 S", "")]


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


def test_one_mistake_and_nothing_is_saved(folder: Folder) -> None:
    with pytest.raises(PackErrors):
        load_pack(folder(("clock = 6", "clock = 13")))
    assert not Pack.objects.exists()
    assert not Issuer.objects.exists()


def test_a_failure_half_way_leaves_everything_as_it_was(
    folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*args: Any, **kwargs: Any) -> None:
        raise RuntimeError("the power is gone")

    monkeypatch.setattr("series.packs.load.derive_types", fail)
    with pytest.raises(RuntimeError):
        load_pack(folder())
    assert not any(model.everything.exists() for model in MODELS.values())
    assert not Pack.objects.exists()


def test_a_check_saves_nothing_and_says_what_would_change(folder: Folder) -> None:
    load_pack(folder())
    before = versions()
    report = load_pack(folder(("mass_g = 6.5", "mass_g = 6.6")), check_only=True)
    assert report.of("changed", "types") == 1
    assert versions() == before
    assert penny().mass_g == Decimal("6.5")


def test_a_pack_may_refer_to_one_that_is_loaded(folder: Folder, tmp_path: Path) -> None:
    load_pack(folder())
    other = tmp_path / "other"
    other.mkdir()
    (other / "pack.toml").write_text(
        'key = "other"\ntitle = "Other"\n[[types]]\nkey = "other-penny"\nseries = "isle-first"\n'
        'denomination = "isle-penny"\nobverse = { motifs = ["bird"] }\n'
        '[[motifs]]\nkey = "bird"\nname = "birds of all kinds"\n'
    )
    report = load_pack(other)
    assert report.of("added", "types") == 1
    assert Motif.objects.get(key="bird").name == "bird"
    assert not load_pack(folder()).changed_anything
    assert not load_pack(other).changed_anything


def test_a_key_made_on_the_site_is_not_taken_over(folder: Folder) -> None:
    Mint.objects.create(key="isle-mint", name="Ours")
    with pytest.raises(PackErrors, match="in use already, by this site"):
        load_pack(folder())
    assert Mint.objects.get().name == "Ours"


def test_it_announces_what_it_did(folder: Folder) -> None:
    heard: list[tuple[str, Any]] = []

    def on_pack(pack: Pack, **_: Any) -> None:
        heard.append(("pack", pack.key))

    def on_types(type_ids: Any, **_: Any) -> None:
        heard.append(("types", type_ids))

    pack_loaded.connect(on_pack)
    types_changed.connect(on_types)
    try:
        load_pack(folder())
        ids = sorted(CoinType.objects.values_list("pk", flat=True))
        assert heard == [("types", ids), ("pack", "isle")]
        heard.clear()
        load_pack(folder())
        load_pack(folder(("mass_g = 6.5", "mass_g = 6.6")), check_only=True)
        assert heard == []
        load_pack(folder(('key = "bird"', 'key = "bird"\nname = "fowl"')))
        assert heard == [("types", ids), ("pack", "isle")]
        assert "fowl" in penny().search_text
    finally:
        pack_loaded.disconnect(on_pack)
        types_changed.disconnect(on_types)


def test_queries_of_a_reload_do_not_grow_with_the_pack(folder: Folder) -> None:
    def queries(*replaced: tuple[str, str]) -> int:
        path = folder(*replaced)
        load_pack(path)
        with CaptureQueriesContext(connection) as captured:
            load_pack(path)
        return len(captured)

    few = queries()
    more = "".join(
        f'[[types]]\nkey = "isle-{n}"\nlike = "isle-penny-gull"\ndates = "1901–30"\n\n'
        for n in range(20)
    )
    assert (
        queries(('[[types]]\nkey = "isle-shilling', f'{more}[[types]]\nkey = "isle-shilling'))
        == few
    )
