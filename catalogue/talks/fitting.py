"""A stored picture made to fit: no wider than a screen shows it, no larger than its share of room.

What is computed: a WebP picture from one. Sizes in bytes and pixels. A picture that fits is left
as it is; another is scaled down until it does, its side each time by the root of what is too much.

>>> import io
>>> out = io.BytesIO()
>>> Image.effect_noise((400, 400), 80).convert("RGB").save(out, "WEBP", quality=95)
>>> small = fitted(out.getvalue(), 8_000)
>>> len(small) <= 8_000, fitted(small, 8_000) == small
(True, True)
"""

from __future__ import annotations

import io
import math

from PIL import Image

MOST_PX = 1400
"""Wide enough for a face on a screen of 2160 lines; chosen by eye."""
LEAST_PX = 64
QUALITY = 84


def fitted(data: bytes, most: int) -> bytes:
    """The picture in at most so many bytes; one of LEAST_PX is given whatever it takes."""
    with Image.open(io.BytesIO(data)) as image:
        if len(data) <= most and max(image.size) <= MOST_PX:
            return data
        picture = image.convert("RGBA" if "A" in image.getbands() else "RGB")
    side = min(MOST_PX, max(picture.size))
    while True:
        packed = _packed(picture, side)
        if len(packed) <= most or side <= LEAST_PX:
            return packed
        side = max(LEAST_PX, min(side - 1, int(0.97 * side * math.sqrt(most / len(packed)))))


def _packed(picture: Image.Image, side: int) -> bytes:
    scaled = picture.copy()
    scaled.thumbnail((side, side), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    scaled.save(out, "WEBP", quality=QUALITY, method=4)
    return out.getvalue()
