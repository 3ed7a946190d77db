"""Loading packs: all or nothing, twice the same, updated in place."""

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

from .conftest import penny

Folder = Callable[..., Path]
pytestmark = pytest.mark.django_db


def versions() -> dict[str, Any]:
    """The row version and time of change of every record that has one."""
    found: dict[str, Any] = {}
    for model in (*MODELS.values(), Face, Issue, Variety):
        for pk, version, changed in model.everything.values_list("pk", "row_version", "changed_at"):
            found[f"{model.__name__} {pk}"] = (version, changed)
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
