"""Every pack that is shipped loads, loads again unchanged, and survives being written out."""

from __future__ import annotations

from pathlib import Path

import pytest

from series.models import CoinType
from series.packs.dump import dump_pack
from series.packs.load import load_pack
from series.types.derived import differing_types

PACKS = Path(__file__).parent.parent.parent.parent / "fixtures" / "packs"
FOLDERS = sorted(path.parent for path in PACKS.glob("*/pack.toml"))

pytestmark = pytest.mark.django_db


def test_the_packs_are_found() -> None:
    assert {"euro", "united-states", "halvern"} <= {folder.name for folder in FOLDERS}


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_shipped_pack_stands_alone(folder: Path, tmp_path: Path) -> None:
    assert load_pack(folder).of("added", "types") > 0
    assert differing_types() == []
    assert not CoinType.objects.exclude(composition="").filter(metal="").exists()
    again = load_pack(folder)
    assert (again.changed_anything, again.kept) == (False, [])
    dump_pack(folder.name, tmp_path / "out")
    dumped = load_pack(tmp_path / "out")
    assert (dumped.changed_anything, dumped.kept) == (False, [])


@pytest.mark.parametrize("folders", [FOLDERS, FOLDERS[::-1]], ids=["forwards", "backwards"])
def test_shipped_packs_load_together_in_any_order(folders: list[Path], tmp_path: Path) -> None:
    for folder in folders:
        load_pack(folder)
    for folder in folders:
        assert not load_pack(folder).changed_anything
        dump_pack(folder.name, tmp_path / folder.name)
        assert not load_pack(tmp_path / folder.name).changed_anything
