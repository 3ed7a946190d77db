"""``manage.py measure_scan FILE [--dpi N] [--json]``: the coins on a flatbed scan, measured."""

from __future__ import annotations

import json
import warnings
from pathlib import Path
from typing import Any

import numpy as np
from django.core.management.base import BaseCommand, CommandError, CommandParser
from PIL import Image, UnidentifiedImageError

from catalogue.photos.finding.ground import Pixels
from catalogue.photos.finding.scans import coins_on, plain

MOST_PIXELS = 150_000_000
LEAST_DPI = 150
"""A lower resolution in a file is what programs write that know none; it is no scale."""


class Command(BaseCommand):
    help = (
        "Find the coins on a scan or a photograph from above and measure them. The scale is the "
        "file's own resolution or --dpi; without one, lengths are in pixels."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="a JPEG, PNG, WebP or TIFF file")
        parser.add_argument("--dpi", type=float, help="pixels to the inch, of 50 to 10000")
        parser.add_argument("--json", action="store_true", help="print plain values")

    def handle(self, *args: Any, file: Path, dpi: float | None, **options: Any) -> None:
        if dpi is not None and not 50 <= dpi <= 10_000:
            raise CommandError(f"{dpi:g} pixels to the inch: give a number from 50 to 10000.")
        pixels, own = _read(file)
        said = plain(coins_on(pixels), dpi or own)
        if options["json"]:
            self.stdout.write(json.dumps(said, indent=1))
            return
        unit = "mm" if said["dpi"] else "px"
        self.stdout.write(_heading(len(said["coins"]), said["dpi"]))
        for number, coin in enumerate(said["coins"], 1):
            width, within, x, y = (coin[f"{of}_{unit}"] for of in ("diameter", "within", "x", "y"))
            self.stdout.write(
                f"{number:3}  {width:.2f} ± {within:.2f} {unit}  {coin['outline']}, "
                f"{coin['colour']}  (at {x:.0f}, {y:.0f} {unit})"
            )


def _heading(count: int, dpi: float | None) -> str:
    coins = "One coin" if count == 1 else f"{count} coins" if count else "No coin"
    if dpi:
        return f"{coins} at {dpi:g} pixels to the inch."
    return f"{coins}. The file states no scale: give --dpi for millimetres."


def _read(file: Path) -> tuple[Pixels, float | None]:
    """The picture as blue, green and red, and the resolution that its file states."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            image = Image.open(file)
            if image.width * image.height > MOST_PIXELS:
                raise CommandError(
                    f"{file} has more than {MOST_PIXELS // 10**6} million pixels: scan at a lower "
                    "resolution, or in parts."
                )
            stated = float(image.info.get("dpi", (0,))[0])
            picture = np.asarray(image.convert("RGB"))
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError) as error:
        raise CommandError(f"{file} cannot be read as a picture: {error}.") from error
    return np.ascontiguousarray(picture[..., ::-1]), stated if stated >= LEAST_DPI else None
