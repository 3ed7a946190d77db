"""Decode one uploaded picture and encode the sizes that are kept, in a process of its own.

Run as a script by ``series/picture/pictures.py``, through ``series/apart.py``: the file's bytes
come on standard input; the answer on standard output is one line of JSON and then the encoded
sizes, one after another. Sizes are pixels of the longest side, at most ``LONGEST``. A file that
needs more memory or processor time than ``MEMORY`` bytes and ``SECONDS`` ends the process and
nothing else; where the system knows no such limits (Windows), only those on pixels hold.

>>> import io
>>> out = io.BytesIO()
>>> Image.new("CMYK", (4, 2)).save(out, "JPEG")
>>> said, encoded = answer(out.getvalue(), {"small": 2, "full": LONGEST}, pixels=100)
>>> said["width"], said["height"], [name for name, length in said["sizes"]], len(encoded)
(4, 2, ['small', 'full'], 2)
>>> answer(b"no picture", {"full": LONGEST}, pixels=100)[0]
{'refused': 'unreadable'}
"""

from __future__ import annotations

import io
import json
import sys
import warnings
from typing import Any

from PIL import Image, ImageFile, ImageOps

FORMATS = ("JPEG", "PNG", "WEBP")
LONGEST = 6_000
LONGEST_READ = 30_000
MEMORY = 1_000_000_000
SECONDS = 20
QUALITY = {"full": 90}
USUAL_QUALITY = 84

Answer = tuple[dict[str, Any], dict[str, bytes]]


class Refused(Exception):
    """Why a file is not taken: "unreadable", "pixels", "side", "moving" or "memory"."""


def answer(data: bytes, sizes: dict[str, int], pixels: int) -> Answer:
    """What is said of a file, and its encoded sizes in the order that ``sizes`` names them."""
    try:
        return encoded_sizes(_decoded(data, pixels), sizes)
    except Refused as refused:
        return {"refused": str(refused)}, {}
    except MemoryError:
        return {"refused": "memory"}, {}


def _decoded(data: bytes, pixels: int) -> Image.Image:
    # A library may have told Pillow to pass pictures that are cut off; here they are refused.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    Image.MAX_IMAGE_PIXELS = None  # the limits below are narrower
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image = Image.open(io.BytesIO(data), formats=FORMATS)
            _check_size(image, pixels)
            image.draft("RGB", (LONGEST, LONGEST))
            image.load()
            turned = ImageOps.exif_transpose(image)
    except (OSError, ValueError, SyntaxError, EOFError, OverflowError) as error:
        raise Refused("unreadable") from error
    return _in_eight_bits(turned)


def _check_size(image: Image.Image, pixels: int) -> None:
    if max(image.size) > LONGEST_READ:
        raise Refused("side")
    if image.width * image.height > pixels:
        raise Refused("pixels")
    if getattr(image, "n_frames", 1) > 1:
        raise Refused("moving")


def _in_eight_bits(image: Image.Image) -> Image.Image:
    """The picture as RGB, or RGBA where it has holes; sixteen bits a pixel become eight."""
    if image.mode.startswith("I"):
        image = image.convert("I").point(lambda value: value / 256).convert("L")
    has_alpha = image.mode in {"RGBA", "LA", "PA"} or "transparency" in image.info
    plain = image.convert("RGBA" if has_alpha else "RGB")
    plain.info.clear()
    return plain


def encoded_sizes(image: Image.Image, sizes: dict[str, int]) -> Answer:
    """The size in pixels of an image and its encoded sizes; the image itself is made smaller.

    The largest is made first and the others from it, so that a scan is reduced once; sizes that a
    small picture does not reach are encoded once.
    """
    image = image if image.mode in {"RGB", "RGBA"} else image.convert("RGB")
    encoded: dict[str, bytes] = {}
    alike: dict[tuple[tuple[int, int], int], bytes] = {}
    width, height = image.size
    for name, longest in sorted(sizes.items(), key=lambda size: -size[1]):
        image.thumbnail((longest, longest), Image.Resampling.LANCZOS)
        if not encoded:
            width, height = image.size
        how = image.size, QUALITY.get(name, USUAL_QUALITY)
        if how not in alike:
            out = io.BytesIO()
            image.save(out, "WEBP", quality=how[1], method=2)
            alike[how] = out.getvalue()
        encoded[name] = alike[how]
    said = {
        "width": width,
        "height": height,
        "sizes": [(name, len(encoded[name])) for name in sizes],
    }
    return said, {name: encoded[name] for name in sizes}


def main() -> None:
    asked = json.loads(sys.argv[1])
    try:
        said, encoded = answer(sys.stdin.buffer.read(), asked["sizes"], asked["pixels"])
    except MemoryError:
        said, encoded = {"refused": "memory"}, {}
    out = sys.stdout.buffer
    out.write(json.dumps(said).encode() + b"\n")
    for part in encoded.values():
        out.write(part)
    out.flush()


if __name__ == "__main__":
    main()
