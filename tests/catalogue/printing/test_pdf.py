from __future__ import annotations

import builtins
import io
import sys
from typing import Any

import pikepdf
import pytest
from PIL import Image

from catalogue.printing import pdf
from catalogue.printing.pdf import PrintingUnavailable, Refused, refuse_or_serve, render_pdf
from tests.poppler import pdftotext

needs_pango = pytest.mark.usefixtures("pango")


@pytest.fixture
def pango() -> None:
    pytest.importorskip("weasyprint", exc_type=OSError)


def opened(html: str, **more: Any) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(render_pdf(html, title="Labels", lang="en-GB", **more)))


def png() -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (4, 4), "#28566B").save(file, "png")
    return file.getvalue()


def pictures(document: pikepdf.Pdf) -> int:
    return sum(len(page.get_images()) for page in document.pages)


@needs_pango
def test_it_works() -> None:
    document = opened("<h1>Halvern</h1>")
    assert len(document.pages) == 1


@needs_pango
def test_title_language_and_tags_are_set() -> None:
    document = opened("<p>Halvern</p>")
    assert str(document.docinfo["/Title"]) == "Labels"
    assert str(document.Root.Lang) == "en-GB"
    assert document.Root.MarkInfo.Marked is True
    assert "/StructTreeRoot" in document.Root


@needs_pango
def test_tags_can_be_left_out() -> None:
    assert "/StructTreeRoot" not in opened("<p>Halvern</p>", tagged=False).Root


@needs_pango
def test_headings_become_bookmarks() -> None:
    document = opened("<h1>Halvern</h1><h2>5 tinne</h2><h2>10 tinne</h2>")
    with document.open_outline() as outline:
        (top,) = outline.root
        assert top.title == "Halvern"
        assert [child.title for child in top.children] == ["5 tinne", "10 tinne"]


@needs_pango
def test_the_fonts_of_the_sheets_are_embedded() -> None:
    html = '<p class="flow">A <b style="font-family:Source Serif Pro">B</b></p>'
    document = opened(html)
    resources = document.pages[0].Resources
    fonts = {str(font.BaseFont).split("+")[1] for font in resources.Font.values()}
    assert any(name.startswith("Source-Sans-Pro") for name in fonts)
    assert any(name.startswith("Source-Serif-Pro") for name in fonts)


@needs_pango
def test_a_picture_that_was_handed_in_is_drawn() -> None:
    document = opened('<img src="exergue:coin">', images={"coin": png()})
    assert pictures(document) == 1


@needs_pango
@pytest.mark.parametrize(
    "html",
    [
        '<img src="{url}">',
        '<p style="background: url({url})">x</p>',
        '<svg width="9" height="9"><image href="{url}" width="9" height="9"/></svg>',
        '<object data="{url}"></object>',
        '<embed src="{url}">',
    ],
)
def test_no_file_and_no_address_is_read(
    html: str, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    secret = tmp_path / "secret.png"
    secret.write_bytes(png())
    asked: list[str] = []

    def watched(url: str, images: Any) -> Any:
        asked.append(url)
        return refuse_or_serve(url, images)

    monkeypatch.setattr(pdf, "refuse_or_serve", watched)
    document = opened("<p>before</p>" + html.format(url=secret.as_uri()))
    assert asked == [secret.as_uri()]
    assert pictures(document) == 0


@needs_pango
def test_no_file_is_attached_and_no_style_sheet_read(tmp_path: Any) -> None:
    secret = tmp_path / "secret.css"
    secret.write_text("@page { size: 50mm 50mm }")
    document = opened(
        f'<link rel="stylesheet" href="{secret.as_uri()}">'
        f'<style>@import url("{secret.as_uri()}");</style>'
        f'<link rel="attachment" href="{secret.as_uri()}">'
        f'<a rel="attachment" href="{secret.as_uri()}">x</a>'
    )
    assert len(document.attachments) == 0
    assert float(document.pages[0].mediabox[2]) > 200


@pytest.mark.parametrize(
    "url",
    [
        "file:///etc/passwd",
        "http://localhost/",
        "https://coins.example/a.png",
        "data:image/png;base64,AAAA",
        "ftp://coins.example/a",
        "exergue:unknown",
        "exergue:font/../../settings.py",
        "exergue:font/SourceSansPro-Black.otf",
        "EXERGUE:coin",
        "coin",
    ],
)
def test_everything_but_what_was_handed_in_is_refused(url: str) -> None:
    with pytest.raises(Refused):
        refuse_or_serve(url, {"coin": b"x"})


def test_a_font_of_the_sheets_is_served() -> None:
    body, media_type = refuse_or_serve("exergue:font/SourceSansPro-Regular.otf", {})
    assert body[:4] == b"OTTO"
    assert media_type == "font/otf"


def test_without_pango_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def without(name: str, *args: Any, **kwargs: Any) -> Any:
        if name == "weasyprint":
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *args, **kwargs)

    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(PrintingUnavailable, match=r"apt-get install libpango-1\.0-0"):
        render_pdf("<p>x</p>", title="x", lang="en")


@needs_pango
def test_running_head_and_page_numbers_of_a_long_document() -> None:
    body = "".join(f"<p>Line {n}</p>" for n in range(150))
    html = (
        '<body class="flow flow-a4"><div class="running-head">Wants of Ada</div>'
        '<div class="running-page">page <span class="page-number"></span> of '
        f'<span class="page-total"></span></div>{body}</body>'
    )
    document = render_pdf(html, title="Wants", lang="en")
    pages = pdftotext(document).split("\f")[:-1]
    assert len(pages) > 2
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in text
        assert ("Wants of Ada" in text) == (number > 1)
