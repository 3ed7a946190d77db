"""Turn HTML into a PDF: the one module that does.

In: HTML as text, pictures as bytes. Out: a PDF as bytes, with title, language, bookmarks from
its headings, and tags for screen readers. Drawn by WeasyPrint with ``static/print.css`` and the
fonts of the sheets.

The HTML may hold text that members typed, so nothing in it can reach a file or an address: only
``exergue:<name>`` is served, from the pictures that were handed in, and ``exergue:font/<file>``
from the font packages. Everything else is refused and left out of the page.

WeasyPrint needs the library Pango, which is not a Python package. Without it the rest of the
site works and :func:`render_pdf` raises :class:`PrintingUnavailable`.

>>> refuse_or_serve("exergue:coin-7", {"coin-7": b"..."})
(b'...', '')
>>> refuse_or_serve("file:///etc/passwd", {})
Traceback (most recent call last):
...
catalogue.printing.pdf.Refused: file:///etc/passwd is not one of the pictures of this document.
"""

from __future__ import annotations

import atexit
import gc
import logging
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from catalogue.printing import words
from catalogue.printing.lettering import font_files

if TYPE_CHECKING:
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

STYLESHEET = Path(__file__).resolve().parent.parent.parent / "static" / "print.css"
SCHEME = "exergue:"
_one_at_a_time = threading.Lock()
_log = logging.getLogger(__name__)


class PrintingUnavailable(RuntimeError):
    """The library that sheets are drawn with is not installed; the text says what to do."""

    def __init__(self) -> None:
        super().__init__(words.NO_PANGO)


class Refused(ValueError):
    """An address in a document that is neither one of its pictures nor a font."""

    def __init__(self, url: str) -> None:
        super().__init__(f"{url[:200]} is not one of the pictures of this document.")


def refuse_or_serve(url: str, images: Mapping[str, bytes]) -> tuple[bytes, str]:
    """The bytes behind an address in a document, and their media type where it matters.

    Raises :class:`Refused` for anything but ``exergue:`` and a known name.
    """
    name = url.removeprefix(SCHEME)
    if name == url:
        raise Refused(url)
    if name in images:
        return images[name], ""
    for path in font_files().values():
        if name == f"font/{path.name}":
            return path.read_bytes(), "font/otf"
    raise Refused(url)


def render_pdf(
    html: str,
    *,
    title: str,
    lang: str,
    images: Mapping[str, bytes] | None = None,
    tagged: bool = True,
) -> bytes:
    """Draw an HTML document as a PDF.

    ``images`` maps the names used in ``<img src="exergue:name">`` to picture files (PNG, JPEG or
    SVG). ``lang`` is a language tag such as "en-GB". ``tagged`` adds the structure that screen
    readers use: leave it out only for sheets that are cut into pieces.

    One document is drawn at a time in a process, since the fonts are shared between calls.
    Raises :class:`PrintingUnavailable` where Pango is missing.
    """
    weasyprint = _weasyprint()
    with _one_at_a_time, _no_collection():
        return _draw(weasyprint, html, title, lang, images or {}, tagged)


def _draw(
    weasyprint: Any, html: str, title: str, lang: str, images: Mapping[str, bytes], tagged: bool
) -> bytes:
    fonts, style = _shared()
    document = weasyprint.HTML(string=html, base_url=SCHEME, url_fetcher=_fetcher(images))
    document.etree_element.set("lang", lang)
    drawn = document.render(font_config=fonts, stylesheets=[style])
    drawn.metadata.title = title
    drawn.metadata.lang = lang
    drawn.metadata.generator = "Exergue"
    pdf: bytes = drawn.write_pdf(pdf_tags=tagged)
    return pdf


def _weasyprint() -> Any:
    try:
        import weasyprint
    except OSError as missing:
        raise PrintingUnavailable from missing
    return weasyprint


@cache
def _shared() -> tuple[FontConfiguration, CSS]:
    """Fonts and style sheet, read once in a process."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    atexit.register(_shared.cache_clear)  # its files are removed while Python can still do it
    style = CSS(
        string=STYLESHEET.read_text(encoding="utf-8"),
        base_url=SCHEME,
        url_fetcher=_fetcher({}),
        font_config=fonts,
    )
    return fonts, style


def _fetcher(images: Mapping[str, bytes]) -> Any:
    """WeasyPrint's fetcher of addresses, confined to :func:`refuse_or_serve`."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Confined(URLFetcher):
        def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:
            try:
                body, media_type = refuse_or_serve(url, images)
            except Refused as refused:
                _log.warning("Left out of a printed sheet: %s", refused)
                raise
            return URLFetcherResponse(
                url, body, {"Content-Type": media_type} if media_type else None
            )

    return Confined()


@contextmanager
def _no_collection() -> Iterator[None]:
    """Leave cyclic garbage alone while a document is built: a tenth to a fifth quicker.

    The document must be out of scope again when this ends, or the next collection walks it all.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
