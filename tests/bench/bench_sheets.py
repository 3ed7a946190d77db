"""Sheets by this site against headless Chromium printing the same HTML, in one run.

Run ``python -m tests.bench sheets`` (``--rounds N``) where Chromium is installed. It makes 1,000
labels (a title and three lines each) and an album of 40 pages, checks that both make as many
pages, and prints the median and the best wall time of each and their ratio. Ours is the time of
a running site from records in memory to PDF: layout, template, drawing. Chromium's is that of
one command ``--print-to-pdf`` from a file, its start included, as a site that called it would
pay; style sheet and fonts are the same files.
"""

from __future__ import annotations

import argparse
import io
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import django
import pikepdf
from django.template.loader import render_to_string

from catalogue.printing.album import AlbumRow, Pocket, lay_album
from catalogue.printing.drawing import draw
from catalogue.printing.geometry import Page
from catalogue.printing.label_contents import label_of
from catalogue.printing.labels import lay_labels
from catalogue.printing.lettering import font_files
from catalogue.printing.pdf import STYLESHEET, render_pdf
from catalogue.printing.stock import READY_MADE
from tests.bench.goals import Goal, tell

PEER = "headless Chromium"
GOALS = {
    "labels": Goal("1,000 labels, times Chromium's", PEER, at_most=1),
    "tagged": Goal("1,000 labels tagged for reading aloud, times Chromium's", PEER, at_most=3),
    "album": Goal("an album of 40 pages, tagged, times Chromium's", PEER, at_most=1),
}
LABELS, ALBUM_PAGES = 1000, 40


def labels(count: int) -> tuple[Page, ...]:
    made = [
        label_of(
            {
                "denomination": "25 tinne",
                "date": f"{1919 + n % 80}",
                "country": "Halvern",
                "series": "First Marl, 1931–1959",
                "metal": "copper-nickel, 23.5 mm",
                "grade": "VF",
                "place": "Saltmouth",
                "accession": f"2024.{n:03}",
            },
            (
                ("denomination", "date"),
                ("country", "series"),
                ("metal",),
                ("grade", "place", "accession"),
            ),
        )
        for n in range(count)
    ]
    return lay_labels(made, READY_MADE[0])


def album(pages: int) -> tuple[Page, ...]:
    rows = []
    for number in range(10_000):
        width = (17.5, 20.0, 23.5, 26.5, 29.0)[number % 5]
        pockets = tuple(
            Pocket(
                f"{number}/{year}",
                width,
                (str(year), "EF" if year % 3 else "missing"),
                held=year % 3 > 0,
            )
            for year in range(1931, 1945)
        )
        rows.append(AlbumRow(f"{number} tinne", f"{width} mm, bronze", pockets))
        if number % 5 == 4:
            laid = lay_album("First Marl", rows, subtitle="Halvern", story=["Struck " * 60])
            if len(laid) >= pages:
                break
    return laid[:pages]


def html_of(pages: tuple[Page, ...]) -> str:
    return render_to_string("print/sheet.html", {"sheet": draw(pages), "title": "x", "lang": "en"})


def for_chromium(html: str) -> str:
    """The same document with style sheet and fonts as files."""
    css = STYLESHEET.read_text()
    for path in font_files().values():
        css = css.replace(f"exergue:font/{path.name}", path.as_uri())
    return html.replace("<style>", f"<style>{css}", 1)


def chromium(html: Path, pdf: Path) -> None:
    subprocess.run(
        [
            shutil.which("chromium") or "chromium",
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
            f"--print-to-pdf={pdf}",
            html.as_uri(),
        ],
        check=True,
        capture_output=True,
    )


def timed(run: Callable[[], object]) -> float:
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def page_count(pdf: bytes) -> int:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return len(document.pages)


def compare(name: str, lay: Callable[[], tuple[Page, ...]], tagged: bool, rounds: int) -> float:
    """Our time as a share of Chromium's."""

    def ours() -> bytes:
        return render_pdf(html_of(lay()), title=name, lang="en", tagged=tagged)

    with tempfile.TemporaryDirectory() as folder:
        page, pdf = Path(folder, "sheet.html"), Path(folder, "sheet.pdf")
        html = html_of(lay())
        page.write_text(for_chromium(html))
        chromium(page, pdf)
        expected = html.count('<section class="sheet">')
        if (page_count(ours()), page_count(pdf.read_bytes())) != (expected, expected):
            sys.exit(f"{name}: ours and Chromium's differ in pages")
        times = [(timed(ours), timed(lambda: chromium(page, pdf))) for _ in range(rounds)]
    mine, theirs = ([pair[side] for pair in times] for side in (0, 1))
    elements = len(re.findall(r"<(?:p|h[1-6]) ", html))
    ratio = statistics.median(mine) / statistics.median(theirs)
    print(
        f"{name}: {expected} pages, {elements} texts; "
        f"ours {statistics.median(mine):.2f} s (best {min(mine):.2f}), "
        f"Chromium {statistics.median(theirs):.2f} s (best {min(theirs):.2f}); "
        f"ratio {ratio:.2f}"
    )
    return ratio


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--tiny", action="store_true")
    given = parser.parse_args()
    rounds = 1 if given.tiny else given.rounds
    many, pages = (9, 1) if given.tiny else (LABELS, ALBUM_PAGES)
    django.setup()
    start = timed(lambda: render_pdf("<p>x</p>", title="x", lang="en"))
    print(f"first sheet of a process (reads library and fonts): {start:.2f} s")
    figures = {
        "labels": compare("labels", lambda: labels(many), False, rounds),
        "tagged": compare("labels, tagged", lambda: labels(many), True, rounds),
        "album": compare("album", lambda: album(pages), True, rounds),
    }
    tell(GOALS, figures)


if __name__ == "__main__":
    main()
