"""An insurance schedule of 500 pieces by this site against headless Chromium, in one run.

Run ``python -m tests.bench schedule`` (``--rounds N``) where Chromium is installed. It makes a
database and pictures of its own in a temporary folder: 500 pieces listed one by one, each with
both faces photographed and every field of Object ID filled. It checks that both make as many
pages and prints the median and the best wall time of each and their ratio. Ours is the time from
records to PDF: reading, shrinking pictures, layout, template, drawing. Chromium's is that of one
command ``--print-to-pdf`` of the same HTML with pictures already shrunk, its start included.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
from datetime import date
from decimal import Decimal
from pathlib import Path

_FOLDER = tempfile.TemporaryDirectory()
os.environ["EXERGUE_VAR"] = _FOLDER.name
os.environ["DATABASE_URL"] = ""
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import django  # noqa: E402

django.setup()

from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.template.loader import render_to_string  # noqa: E402
from PIL import Image, ImageDraw  # noqa: E402

from catalogue.models import Member  # noqa: E402
from catalogue.printing.drawing import draw  # noqa: E402
from series.picture.pictures import keep_image  # noqa: E402
from tests.bench.bench_sheets import chromium, for_chromium, page_count, timed  # noqa: E402
from tests.bench.goals import Goal, tell  # noqa: E402
from tests.bench.tables import lay_tables  # noqa: E402
from valuation.models import Schedule, ScheduleLine  # noqa: E402
from valuation.schedules.drawing import draw_schedule, laid_out  # noqa: E402

GOALS = {
    "ratio": Goal("a schedule of 500 pieces, times Chromium's", "headless Chromium", at_most=3.5)
}
PIECES = 500


def photograph(n: int) -> str:
    """The digest of a picture of a disc that no other piece has."""
    image = Image.new("RGBA", (700, 700), (0, 0, 0, 0))
    pen = ImageDraw.Draw(image)
    pen.ellipse((0, 0, 699, 699), fill=(120 + n % 90, 90 + n % 70, 60 + n % 50, 255))
    pen.ellipse((60, 60, 640, 640), outline=(60, 50, 40, 255), width=6)
    pen.text((300, 330), str(n), fill=(30, 25, 20, 255), font_size=90)
    return keep_image(image).digest


def facts(n: int) -> dict[str, object]:
    photographs = [
        {"face": side, "side": side, "digest": photograph(2 * n + i), "trimmed": True}
        for i, side in enumerate(("obverse", "reverse"))
    ]
    year, number = 1919 + n % 60, f"2024.{n:04}"
    return {
        "label": f"50 tinne, {year}, with ring",
        "country": "Halvern",
        "series": "First Marl, 1931–1959",
        "inventory_number": number,
        "grade": "EF (British scale), graded by M. Vane, 2024-05-03",
        "diameter_mm": "26.50",
        "each": f"{60 + n % 400}.50",
        "value": {"words": f"{60 + n % 400}.50 EUR, estimate, Fair list, 1 March 2026, at EF"},
        "rate": "",
        "object_id": {
            "photographs": photographs,
            "type_of_object": "coin",
            "materials_and_techniques": ["silver, Ag500Cu500", "edge: reeded, 120 notches"],
            "measurements": [
                "mass 9.98 g as measured, to ± 0.01 g",
                "diameter 26.5 mm as specified for the type",
                "alignment 6 hours",
            ],
            "inscriptions_and_markings": [
                "obverse: HALVERN · OF · THE · NINE · ISLANDS (the country's full style)",
                "reverse: L TINNE (fifty tinne)",
                "mint mark S (reverse, 6 o'clock, near the anchor)",
            ],
            "distinguishing_features": ["edge knock: at 4 o'clock", "variety: low date"],
            "title": "50 tinne, First Marl, with ring",
            "subject": ["obverse: lighthouse on a rock", "reverse: fishing net, herring"],
            "date_or_period": f"{year} (struck {year + 1})",
            "maker": ["issued by Halvern", "struck at Saltmouth mint", "engraver M. Vane"],
            "short_description": (
                f"Halvern, 50 tinne, {year}. obverse: A lighthouse on a rock with three beams, "
                "two boats to the left. reverse: Numeral over a fishing net with five herrings, "
                "the date below between two anchors."
            ),
            "inventory_number": number,
            "related_written_material": [
                "Ternholm, 2nd, 31",
                "paper kept: Invoice 12",
                "provenance: 1987, bought of a dealer in Saltmouth",
            ],
            "place_of_origin": "Saltmouth, Halvern",
            "cross_reference": "of the same type: 2024.1001, 2024.1002, 2024.1003",
            "date_documented": "2026-02-14",
        },
    }


def schedule(pieces: int) -> Schedule:
    owner = Member.objects.create_user("ada", "a good long password", name="Ada")
    made = Schedule.objects.create(
        owner=owner,
        number="S-2026-01",
        insured="Ada Vestergaard",
        insurer="Northern Mutual",
        policy="NM-7",
        as_of=date(2026, 3, 1),
        currency="EUR",
        threshold=Decimal(50),
        bulk_rate=Decimal("0.10"),
        pieces=pieces,
        digest="5f" * 32,
    )
    lines = []
    for n in range(pieces):
        said = facts(n)
        amount = Decimal(str(said["each"]))
        lines.append(ScheduleLine(schedule=made, position=n + 1, amount=amount, facts=said))
    ScheduleLine.objects.bulk_create(lines)
    made.total = sum((line.amount for line in lines), Decimal(0))
    made.save()
    return made


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--out", type=Path, help="keep our schedule as this file")
    parser.add_argument("--tiny", action="store_true")
    given = parser.parse_args()
    rounds, pieces = (1, 3) if given.tiny else (given.rounds, PIECES)
    lay_tables(settings.VAR_DIR)
    call_command("migrate", verbosity=0)
    made = schedule(pieces)
    laid, images = laid_out(made)
    html = render_to_string("print/sheet.html", {"sheet": draw(laid), "title": "", "lang": "en"})
    folder = Path(_FOLDER.name)
    for name, picture in images.items():
        (folder / f"{name}.jpg").write_bytes(picture)
        html = html.replace(f"exergue:{name}", (folder / f"{name}.jpg").as_uri())
    page, pdf = folder / "schedule.html", folder / "schedule.pdf"
    page.write_text(for_chromium(html))
    mine = draw_schedule(made)
    if given.out:
        given.out.write_bytes(mine)
    chromium(page, pdf)
    pages, theirs_pages = page_count(mine), page_count(pdf.read_bytes())
    print(f"{pieces} pieces, {len(images)} pictures: {pages} pages, Chromium {theirs_pages}")
    times = [
        (timed(lambda: draw_schedule(made)), timed(lambda: chromium(page, pdf)))
        for _ in range(rounds)
    ]
    ours, theirs = ([pair[side] for pair in times] for side in (0, 1))
    read = timed(lambda: draw(laid_out(made)[0]))
    ratio = statistics.median(ours) / statistics.median(theirs)
    print(
        f"ours {statistics.median(ours):.2f} s (best {min(ours):.2f}; {read:.2f} of it before "
        f"drawing, mostly shrinking pictures), Chromium {statistics.median(theirs):.2f} s (best "
        f"{min(theirs):.2f}); ratio {ratio:.2f}"
    )
    tell(GOALS, {"ratio": ratio})


if __name__ == "__main__":
    main()
