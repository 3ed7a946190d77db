"""Fonts cut and packed for browsers: what stays in them, made once, and what if they cannot be."""

from __future__ import annotations

import errno
import io
from pathlib import Path
from typing import Any

import pytest
from fontTools.ttLib import TTFont

from catalogue.management.commands import serve
from catalogue.printing.lettering import font_files
from catalogue.site import web_fonts

FACE = ("serif", 400, True)  # the smallest


@pytest.fixture(autouse=True)
def one_face(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = font_files()
    monkeypatch.setattr(web_fonts, "font_files", lambda: {FACE: whole[FACE]})


@pytest.fixture(scope="module")
def first() -> TTFont:
    data = font_files()[FACE].read_bytes()
    cut = web_fonts.cut(data, web_fonts._parts(data)["first"])
    assert cut.startswith(b"wOF2")
    assert len(cut) < 40_000
    return TTFont(io.BytesIO(cut))


def test_letters_figures_fractions_and_signs_stay(first: TTFont) -> None:
    assert {ord(letter) for letter in "AzØřŁž09½¼¾–—’“€£°×ﬁ"} <= set(first.getBestCmap())


def test_figures_of_equal_width_lining_and_old_style_stay(first: TTFont) -> None:
    kept = {record.FeatureTag for record in first["GSUB"].table.FeatureList.FeatureRecord}
    whole = {record.FeatureTag for record in _whole()["GSUB"].table.FeatureList.FeatureRecord}
    assert {"tnum", "lnum"} & whole
    assert {"tnum", "lnum", "onum", "pnum", "frac"} & whole <= kept


def _whole() -> TTFont:
    return TTFont(font_files()[FACE])


def test_what_was_cut_bears_the_licence_and_not_the_reserved_name(first: TTFont) -> None:
    names = {record.nameID: record.toUnicode() for record in first["name"].names}
    assert "Reserved Font Name" in names[web_fonts.COPYRIGHT]
    assert set(names) <= {0, 13, 14}
    assert first["CFF "].cff.fontNames == ["Exergue"]


def test_the_two_parts_hold_every_character_once() -> None:
    parts = web_fonts._parts(font_files()[FACE].read_bytes())
    assert parts["first"] | parts["more"] == set(_whole().getBestCmap())
    assert not parts["first"] & parts["more"]


def test_the_sheet_names_files_that_are_there_and_nothing_is_made_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    web_fonts.make_web_fonts(tmp_path)
    made = {str(path.relative_to(tmp_path)) for path in tmp_path.rglob("*.woff2")}
    sheet = (tmp_path / "fonts.css").read_text()
    assert len(made) == 2
    assert all(f'url("{name}")' in sheet for name in made)
    assert sheet.count("font-display: swap") == 2
    monkeypatch.setattr(web_fonts, "cut", None)
    web_fonts.make_web_fonts(tmp_path)
    assert (tmp_path / "fonts.css").read_text() == sheet


def test_fonts_that_cannot_be_cut_go_out_whole(
    tmp_path: Path, settings: Any, monkeypatch: pytest.MonkeyPatch, caplog: Any
) -> None:
    def fail(data: bytes, characters: set[int]) -> bytes:
        raise ValueError("no packer here")

    monkeypatch.setattr(web_fonts, "cut", fail)
    settings.WEB_DIR = tmp_path
    serve.Command()._make_fonts()
    assert "no packer here" in caplog.text
    assert not (tmp_path / "fonts.css").exists()
    assert list(tmp_path.rglob("*.woff2")) == []


def test_both_sheets_of_fonts_know_the_same_faces(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(web_fonts, "font_files", font_files)
    monkeypatch.setattr(web_fonts, "cut", lambda data, characters: b"")
    monkeypatch.setattr(web_fonts, "_parts", lambda data: {"first": {65}})
    web_fonts.make_web_fonts(tmp_path)
    made = (tmp_path / "fonts.css").read_text()
    whole = (Path(__file__).parents[2] / "static" / "fonts.css").read_text()
    assert made.count("@font-face") == whole.count("@font-face") == 6
    for path in font_files().values():
        assert (path.name in whole) == (path.stem + "-first" in made)


def test_a_full_disk_leaves_no_half_font_and_the_next_start_makes_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(fd: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("catalogue.site.whole_files.os.fsync", full)
        with pytest.raises(OSError, match="No space"):
            web_fonts.make_web_fonts(tmp_path)
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []
    web_fonts.make_web_fonts(tmp_path)
    assert len(list(tmp_path.rglob("*.woff2"))) == 2
