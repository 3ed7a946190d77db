"""Coins as pages show them: an inline SVG of a type, and the struck picture of a face.

Geometry goes into SVG attributes, so a strict content policy holds. Faces are looked at only when
they were prefetched, so no query is run here.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from functools import cache, lru_cache
from itertools import count

from django.urls import reverse
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from series.faces.models import Face
from series.picture import drawing
from series.picture.metals import METALS
from series.picture.outlines import outline_path, outline_points
from series.picture.paint import defs
from series.text.words import number
from series.types.drawn import colours, dated_side, drawn, width_mm
from series.types.models import CoinType

MARGIN = 0.07
"""Room around a coin for its shadow, as a share of its width."""

SOFT_FROM_PX = 120
"""From this width on a coin's shadow is blurred; on a smaller one nobody sees its edge."""

READ_FROM_PX = 80
"""From this width on the date on a picture can be read; chosen by eye."""

_cut_numbers = count(1)
_cut_prefix = secrets.token_hex(3)


def coin_defs(types: Iterable[CoinType] | None = None) -> SafeString:
    """The gradients coins refer to, in an SVG that takes no room: once on a page, before them.

    ``types``: those whose metals are drawn; left out, every metal's.
    """
    if types is None:
        return _defs(tuple(METALS))
    return _defs(tuple(name for coin_type in types for name in colours(coin_type)))


@lru_cache(maxsize=256)
def _defs(names: tuple[str, ...]) -> SafeString:
    return mark_safe(
        '<svg class="coin-defs" width="0" height="0" aria-hidden="true" focusable="false">'
        f"{defs(names)}</svg>"
    )


def coin(
    coin_type: CoinType,
    scale: float = 2.2,
    text: str | None = None,
    gap: bool = False,
    picture: str = "",
    title: str = "",
    side: str = "",
    ghost: bool = False,
    size: str = "small",
    wide: float = 0,
    high: float = 0,
    date: str | None = None,
    pictured: bool = True,
) -> SafeString:
    """One coin as an inline SVG, ``scale`` pixels to the millimetre.

    ``picture``: the address of a photograph trimmed to the coin's edge. Left out, the struck
    picture of ``side`` is shown where the type has one ("" chooses the side with the value);
    else the coin is drawn from its record with ``text`` (default: the denomination's numeral).
    ``gap``: an empty dashed outline. ``ghost``: the coin faint in a dashed outline, one not
    held. ``title`` is read out; without it the picture is left out for a screen reader.
    ``date``: the date of one piece, "" when it is not known. It is drawn with it; a picture of its
    type, which bears another date, stands only for a face without one (:func:`pictures_piece`).
    ``wide`` and ``high``: the mm of room to take at least, so that what stands beside coins of
    several sizes lines up.
    ``pictured``: whether the struck picture of its type, which the site serves, may be shown.
    A "?" marks a coin whose diameter is not recorded: it is drawn UNKNOWN_MM wide.
    Faces are looked at only when they were prefetched, so no query is run here.
    """
    shape = drawn(coin_type, text=text, gap=gap, date=date or "")
    of_piece = date is None or pictures_piece(coin_type, scale, side, size)
    if not picture and not gap and pictured and of_piece:
        picture = face_address(coin_type, side, size)
    width = shape.diameter_mm * scale
    box = width * (extent(shape.outline, shape.sides) + 2 * MARGIN)
    inside = _pictured(shape, scale, picture) if picture and not gap else drawing.coin(shape, scale)
    if ghost and not gap:
        outline = drawing.coin(drawn(coin_type, text="", gap=True), scale)
        inside = f'<g opacity="0.4">{inside}</g>{outline}'
    inside += drawing.supposed_mark(shape, scale, _("size not recorded"))
    label = (
        f'role="img" aria-label="{escape(title)}"'
        if title
        else 'aria-hidden="true" focusable="false"'
    )
    across, down = (max(box, room * scale * (1 + 2 * MARGIN)) for room in (wide, high))
    return mark_safe(
        f'<svg class="coin-svg" width="{number(across)}" height="{number(down)}" '
        f'viewBox="{number(-across / 2)} {number(-down / 2)} {number(across)} {number(down)}" '
        f"{label}>{inside}</svg>"
    )


def _pictured(shape: drawing.Drawn, scale: float, address: str) -> str:
    """A picture cut by the coin's outline, at the coin's scale, over its shadow.

    The picture is the square the outline fits in, so its corners reach beyond a polygon's width.
    """
    size = shape.diameter_mm * scale
    data = outline_path(shape.outline, size, shape.sides, shape.hole, shape.hole_mm * scale)
    width = size * extent(shape.outline, shape.sides)
    cut = f"cut-{_cut_prefix}-{next(_cut_numbers)}"
    half, whole, drop = number(-width / 2), number(width), number(width * 0.022)
    soft = blurred = ""
    if width > SOFT_FROM_PX:
        blur = f'<feGaussianBlur stdDeviation="{number(width * 0.012)}"/>'
        soft, blurred = f'<filter id="{cut}-soft">{blur}</filter>', f' filter="url(#{cut}-soft)"'
    return (
        f'<clipPath id="{cut}"><path d="{data}" clip-rule="evenodd"/></clipPath>{soft}'
        f'<path d="{data}" transform="translate({drop} {drop})" fill="#000000" '
        f'fill-opacity="0.25" fill-rule="evenodd"{blurred}/>'
        f'<image href="{escape(address)}" x="{half}" y="{half}" width="{whole}" '
        f'height="{whole}" preserveAspectRatio="xMidYMid slice" clip-path="url(#{cut})"/>'
    )


@cache
def extent(outline: str, sides: int) -> float:
    """The side of the square an outline fits in, as a multiple of its diameter."""
    points = outline_points(outline, 2.0, sides)
    return max(max(abs(x), abs(y)) for x, y in points)


def pictures_piece(coin_type: CoinType, scale: float, side: str = "", size: str = "small") -> bool:
    """Whether the picture of a type may stand for a piece of it: where no date is read on it.

    So it may for a face without a date, and for a small coin on a plate.
    """
    face = pictured_face(coin_type, side)
    if face is None:
        return False
    small = size == "small" and width_mm(coin_type) * scale < READ_FROM_PX
    return small or face.side != dated_side(coin_type)


def face_address(coin_type: CoinType, side: str = "", size: str = "small") -> str:
    """The address of a type's struck picture, or "" (also when its faces are not prefetched)."""
    face = pictured_face(coin_type, side)
    if face is None:
        return ""
    return _face_address(coin_type.key, face.side, size, face.picture)


@lru_cache(maxsize=8192)
def _face_address(key: str, side: str, size: str, picture: str) -> str:
    return f"{reverse('face-picture', args=[key, side, size])}?v={picture[:12]}"


def pictured_face(coin_type: CoinType, side: str = "") -> Face | None:
    """The prefetched face with a picture: of ``side``, or the one that shows the value."""
    faces = getattr(coin_type, "_prefetched_objects_cache", {}).get("faces")
    if faces is None:
        return None
    found = [f for f in faces if f.picture and (f.side == side if side else f.side != "edge")]
    found.sort(key=lambda face: (not face.value_as, face.side != "reverse"))
    return found[0] if found else None


def initial(face: Face) -> str:
    """The first letter of a face's legend, to tell the faces of a drawn coin apart."""
    letters = (letter for legend in face.legends.all() for letter in legend.text)
    return next((letter.upper() for letter in letters if letter.isalpha()), "")
