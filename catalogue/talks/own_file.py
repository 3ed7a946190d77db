"""A talk in one file of its own, which any browser shows without a site and without a network.

The file is written piece by piece, a stop at a time, so that it never stands in memory whole. Its
pictures and fonts stand in it as ``data:`` addresses; its script and style are those of the wall,
allowed by their digests in a content policy that allows nothing else. Each picture has its share
of the room that is left of ``MOST_BYTES`` and is made smaller until it fits.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language, gettext

from catalogue.models import Photo, Talk
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.lettering import FAMILY_NAMES, font_files
from catalogue.site.web_fonts import cut
from catalogue.talks.fitting import fitted
from catalogue.talks.giving import Wall, wall
from catalogue.talks.queries import shown_talk
from series.models import CoinType, Face
from series.picture.pictures import FULL, picture_bytes

MOST_BYTES = 25_000_000
LEAST_PICTURE = 4_000
"""Bytes below which a picture of a face is not worth showing; chosen by eye."""

STYLE = "talk.css"
SCRIPTS = ("talk.js", "talk_wall.js")
FACES = (
    ("serif", 400, False),
    ("serif", 400, True),
    ("serif", 600, False),
    ("sans", 400, False),
    ("sans", 600, False),
)
_PICTURE = re.compile(r'"stored:([0-9a-f]+)"')
_MARK = "<!-- a stop -->"

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class StoredDoor:
    """Names the stored pictures themselves in place of addresses, for them to be put in."""

    own: bool = True

    def photo(self, photo: Photo) -> str:
        return f"stored:{photo.digest}"

    def face(self, coin_type: CoinType, face: Face) -> str:
        return f"stored:{face.picture}"


def talk_file(talk: Talk, notes: bool, progress: Progress) -> Iterator[bytes]:
    """The file in parts; SheetProblem when so many stops cannot be shown in ``MOST_BYTES``."""
    laid = wall(shown_talk(talk, StoredDoor()), _anchor, notes=notes, all_seen=True)
    count, pictures, plain, letters = len(laid.stops), 0, 0, set[int]()
    for place in range(count):  # each is made twice, so that they never stand in memory together
        stop = _stop(laid, place)
        pictures += len(_PICTURE.findall(stop))
        plain += len(stop.encode())
        letters.update(map(ord, stop))
    head, tail = (part.encode() for part in _page(laid, letters))
    room = Room(MOST_BYTES - plain - len(head) - len(tail), pictures)
    yield head
    for place in range(count):
        yield _PICTURE.sub(room.put_in, _stop(laid, place)).encode()
        progress(place + 1, count)
    yield tail


@dataclass
class Room:
    """The bytes left for pictures, parted evenly among those still to come."""

    left: int
    pictures: int

    def put_in(self, found: re.Match[str]) -> str:
        share = self.left // self.pictures * 3 // 4 - 60  # base64 makes four bytes of three
        if share < LEAST_PICTURE:
            raise SheetProblem(
                gettext("So many stops do not fit into a file of 25 MB. Make two talks of it.")
            )
        try:
            data = fitted(picture_bytes(found[1], FULL), share)
        except FileNotFoundError:
            data = b""
        address = _data("image/webp", data) if data else "data:,"
        self.left -= len(address)
        self.pictures -= 1
        return f'"{address}"'


def _anchor(place: int) -> str:
    return f"#stop-{place}"


def _stop(laid: Wall, place: int) -> str:
    return render_to_string("talks/_stop.html", {"wall": laid, "staged": laid.stops[place]})


def _page(laid: Wall, letters: set[int]) -> tuple[str, str]:
    """What stands before and after the stops, in which these letters are."""
    scripts = [_static(name) for name in SCRIPTS]
    context = {"wall": laid, "stops_here": mark_safe(_MARK), "language": get_language()}
    bare = render_to_string("talks/own_file.html", context)
    style = _fonts(letters | set(map(ord, bare))) + _static(STYLE)
    inside = {
        "policy": policy(scripts, style),
        "scripts": mark_safe("".join(f"<script>{script}</script>" for script in scripts)),
        "style": mark_safe(f"<style>{style}</style>"),
    }
    page = render_to_string("talks/own_file.html", {**context, **inside})
    head, _mark, tail = page.partition(_MARK)
    return head.lstrip(), tail


def policy(scripts: list[str], style: str) -> SafeString:
    """Nothing but what stands in the file: its own script and style, pictures and fonts."""
    allowed = " ".join(_digest(script) for script in scripts)
    return mark_safe(
        f"default-src 'none'; script-src {allowed}; style-src {_digest(style)}; "
        "img-src data:; font-src data:; base-uri 'none'; form-action 'none'"
    )


def _digest(text: str) -> str:
    """As a content policy names it (Content Security Policy Level 3, hash-source)."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _static(name: str) -> str:
    text = Path(str(finders.find(name))).read_text("utf-8")
    if "</s" in text.lower():
        raise ValueError(f"{name} holds what would end its element in a page.")
    return text


def _fonts(letters: set[int]) -> str:
    """The fonts with the letters that are in the file alone."""
    cut_to = frozenset(letters | set(range(0x20, 0x7F)))
    rules = []
    for family, weight, italic in FACES:
        data = _cut((family, weight, italic), cut_to)
        rules.append(
            f'@font-face {{ font-family: "{FAMILY_NAMES[family]}"; font-weight: {weight}; '
            f"font-style: {'italic' if italic else 'normal'}; "
            f'src: url("{_data("font/woff2", data)}") format("woff2"); }}\n'
        )
    return "".join(rules)


@lru_cache(maxsize=2 * len(FACES))
def _cut(face: tuple[str, int, bool], letters: frozenset[int]) -> bytes:
    return cut(font_files()[face].read_bytes(), set(letters))


def _data(kind: str, data: bytes) -> str:
    return f"data:{kind};base64,{base64.b64encode(data).decode()}"
