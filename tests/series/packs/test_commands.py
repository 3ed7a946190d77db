"""The commands load_pack and dump_pack."""

from __future__ import annotations

from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from series.models import Pack

Folder = Callable[..., Path]

pytestmark = pytest.mark.django_db


def run(*words: object) -> str:
    out = StringIO()
    call_command(*map(str, words), stdout=out)
    return out.getvalue()


def test_it_works(folder: Folder, tmp_path: Path) -> None:
    assert "types 2 added" in run("load_pack", folder())
    assert "nothing to change" in run("load_pack", folder())
    assert "series-isle-first.toml" in run("dump_pack", "isle", tmp_path / "out")


def test_a_check_says_so_and_saves_nothing(folder: Folder) -> None:
    assert "This was a check: nothing was saved." in run("load_pack", folder(), "--check")
    assert not Pack.objects.exists()


def test_mistakes_are_counted(folder: Folder) -> None:
    path = folder(("clock = 6", "clock = 13"), ("mass_g = 6.5", "mass_g = 0"))
    with pytest.raises(CommandError, match="2 mistakes; nothing was saved") as raised:
        run("load_pack", path)
    assert "types.toml, type isle-penny-gull: marks.clock is 13" in str(raised.value)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="There is no pack and no folder"):
        run("load_pack", tmp_path / "nowhere")


def test_a_pack_that_is_not_loaded(folder: Folder, tmp_path: Path) -> None:
    run("load_pack", folder())
    with pytest.raises(CommandError, match="No pack 'aisle' is loaded"):
        run("dump_pack", "aisle", tmp_path / "out")


def test_without_a_pack_those_that_ship_are_listed() -> None:
    said = run("load_pack")
    assert "euro\n    Euro circulation coins." in said
    assert not Pack.objects.exists()


def test_a_pack_that_ships_is_loaded_by_its_key() -> None:
    run("load_pack", "halvern")
    assert "halvern (loaded, version" in run("load_pack")


def test_an_unknown_key_names_those_there_are() -> None:
    with pytest.raises(CommandError, match="no pack and no folder atlantis"):
        run("load_pack", "atlantis")


def test_a_pack_that_is_needed_must_be_loaded(folder: Folder) -> None:
    path = folder()
    about = path / "pack.toml"
    about.write_text('needs = "mainland"\n' + about.read_text("utf-8"), "utf-8")
    with pytest.raises(CommandError, match="load the pack mainland first"):
        run("load_pack", path)
