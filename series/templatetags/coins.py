"""Coins drawn in a page, and figures of coins in words: ``{% load coins %}``.

``{% coin_defs %}`` once on a page, then ``{% coin coin_type scale=2.2 %}`` wherever a coin is
to stand. Geometry goes into SVG attributes, so a strict content policy holds.
"""

from __future__ import annotations

import math
import secrets
from collections.abc import Iterable
from decimal import Decimal
from functools import cache, lru_cache
from itertools import count
from typing import Any

from django import template
from django.urls import reverse
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from series.dates import words as date_words
from series.differences.changes import in_words
from series.faces.models import Face
from series.issuers.models import Currency, Denomination
from series.metal import material
from series.money.units import Unit, UnitSystem, write_number
from series.picture import drawing
from series.picture.outlines import outline_path, outline_points
from series.text.english import alignment_words, beside, outline_words
from series.text.scripts import script_name
from series.text.words import clock_text, number, plain, years_text
from series.types.drawn import UNKNOWN_MM, dated_side, drawn, width_mm
from series.types.models import CoinType, Issue

register = template.Library()

MARGIN = 0.07
"""Room around a coin for its shadow, as a share of its width."""

SOFT_FROM_PX = 120
"""From this width on a coin's shadow is blurred; on a smaller one nobody sees its edge."""

READ_FROM_PX = 80
"""From this width on the date on a picture can be read; chosen by eye."""

_cut_numbers = count(1)
_cut_prefix = secrets.token_hex(3)


@register.simple_tag
def coin_defs(colours: Any = None) -> SafeString:
    """The gradients coins refer to, in an SVG that takes no room: once on a page, before them.

    ``colours``: a list of colour words or of types; left out, every metal's.
    """
    if colours is None:
        return _defs(tuple(drawing.METALS))
    return _defs(tuple(name for item in colours for name in _colour_words(item)))


@lru_cache(maxsize=256)
def _defs(names: tuple[str, ...]) -> SafeString:
    return _safe(
        '<svg class="coin-defs" width="0" height="0" aria-hidden="true" focusable="false">'
        f"{drawing.defs(names)}</svg>"
    )


@register.simple_tag
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
    A "?" marks a coin whose diameter is not recorded: it is drawn UNKNOWN_MM wide.
    Faces are looked at only when they were prefetched, so no query is run here.
    """
    shape = drawn(coin_type, text=text, gap=gap, date=date or "")
    if not picture and not gap and (date is None or pictures_piece(coin_type, scale, side, size)):
        picture = face_address(coin_type, side, size)
    width = shape.diameter_mm * scale
    box = width * (extent(shape.outline, shape.sides) + 2 * MARGIN)
    if gap:
        inside = drawing.coin(shape, scale)
    elif picture:
        inside = _pictured(shape, scale, picture)
    else:
        inside = drawing.coin(shape, scale)
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
    return _safe(
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


@register.simple_tag
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


def _colour_words(item: Any) -> tuple[str, ...]:
    if isinstance(item, CoinType):
        shape = drawn(item, text="")
        return (shape.colour, shape.centre_colour)
    return (str(item),)


def _safe(text: str) -> SafeString:
    """Markup built above from numbers and escaped texts."""
    return mark_safe(text)


@register.filter
def years(record: Any) -> str:
    """The years of a record with ``first_year`` and ``last_year`` in full: "1931–1959"."""
    return years_text(record.first_year, record.last_year, short=False) if record else ""


@register.filter
def figure(value: Decimal | int | None) -> str:
    """A figure without trailing zeros: "23.5"."""
    return plain(value)


@register.filter
def mm(value: Decimal | None) -> str:
    """A length: "23.5 mm", or "" when it is not recorded."""
    return f"{plain(value)}\u00a0mm" if value is not None else ""


@register.filter
def grams(value: Decimal | None) -> str:
    """A mass: "5.4 g", or "" when it is not recorded."""
    return f"{plain(value)}\u00a0g" if value is not None else ""


@register.filter
def clock(value: Decimal | None) -> str:
    """A place by the clock in words: "6 o'clock"."""
    return clock_text(value)


@register.filter
def size_and_metal(coin_type: CoinType) -> str:
    """What is said beside a coin: "23.5 mm, copper-nickel"."""
    size = mm(coin_type.diameter_mm) or _("size not recorded")
    return ", ".join(part for part in (size, material.metal_words(coin_type.metal)) if part)


@register.filter
def supposed_note(types: Iterable[CoinType]) -> str:
    """What the "?" on some of these coins means; "" where every size is recorded."""
    if all(coin_type.diameter_mm is not None for coin_type in types):
        return ""
    width = mm(Decimal(str(UNKNOWN_MM)))
    return f"“?” marks a coin whose size is not recorded; it is drawn {width} wide."


@register.filter
def span_years(issuer: Any) -> str:
    """The years of a country's series, from ``countries_with_counts``."""
    return years_text(issuer.earliest, issuer.latest, short=False)


@register.filter
def px(value: float) -> str:
    """A length of a drawing, the same in every language."""
    return number(value)


@register.filter
def share(part: int, whole: int) -> str:
    """A part of a whole in hundredths, at most 100, for the width of a bar."""
    return number(min(100, 100 * part / whole)) if whole else "0"


@register.filter
def edtf(text: str) -> str:
    """A date kept as EDTF in words: "31 December 1968"."""
    return date_words.in_words(text) if text else ""


@register.filter
def near(what: str) -> str:
    """Where a mark stands: "near the date", "below the net"."""
    return beside(what)


@register.filter
def said(steps: Any) -> str:
    """What changed, as one line."""
    return in_words(steps)


@register.filter
def became(currency: Currency) -> str:
    """What became of a currency: "10 marls became 1 new marl on 4 January 1960", or ""."""
    if currency.successor is None:
        return ""
    if not currency.rate:
        return f"followed by the {currency.successor.name}"
    old = currency.plural or currency.name
    words = f"{currency.rate} {old} became 1 {currency.successor.name}"
    day = currency.rate_from
    return words if day is None else f"{words} on {date_words.day_in_words(day)}"


@register.filter
def unit_chain(currency: Currency) -> str:
    """What one main unit is, in its sub-units: "1 pound = 20 shillings = 240 pence", or ""."""
    try:
        units = [
            Unit(unit.name, unit.plural, unit.symbol, unit.ratio) for unit in currency.units.all()
        ]
        main = [] if any(unit.per_main == 1 for unit in units) else [Unit(currency.name)]
        chain = str(UnitSystem((*main, *units)))
    except ValueError:  # units that cannot be told apart, or a ratio that is none
        return ""
    return chain if " = " in chain else ""


@register.filter
def worth(denomination: Denomination) -> str:
    """What a denomination is in main units of its currency: "¼ marl"."""
    main = Unit(denomination.currency.name, denomination.currency.plural)
    return f"{write_number(denomination.value)} {main.name_for(denomination.value)}"


@register.filter
def outline_said(coin_type: CoinType) -> str:
    """The outline, hole and centre of a type in words."""
    parts = [outline_words(coin_type.outline, coin_type.sides or 0)]
    if coin_type.hole:
        size = f" of {mm(coin_type.hole_mm)}" if coin_type.hole_mm else ""
        parts.append(f"a {coin_type.get_hole_display()} hole{size}")
    if coin_type.ring_mm:
        parts.append(f"a centre of {mm(coin_type.ring_mm)}")
    return ", ".join(parts)


@register.filter
def alignment_said(hours: int | None) -> str:
    """Die axis in words: "coin alignment (6 o'clock)"."""
    if hours is None:
        return ""
    words = alignment_words(hours)
    return f"{words} ({hours} o'clock)" if hours in {6, 12} else words


@register.simple_tag
def clock_dial(place: Decimal | None, size: int = 30) -> SafeString:
    """A small dial with a dot where a mark stands; "" when its place is not recorded."""
    if place is None:
        return _safe("")
    half = size / 2
    angle = math.radians(float(place) * 30 - 90)
    x, y = (half * 0.62 * f(angle) for f in (math.cos, math.sin))
    tick = f"M0 {number(-half * 0.9)}v{number(half * 0.14)}"
    ticks = "".join(f'<path d="{tick}" transform="rotate({hour * 30})"/>' for hour in range(12))
    return _safe(
        f'<svg class="dial" width="{size}" height="{size}" viewBox="{number(-half)} '
        f'{number(-half)} {size} {size}" aria-hidden="true" focusable="false">'
        f'<circle r="{number(half * 0.93)}"/>{ticks}'
        f'<circle class="dot" cx="{number(x)}" cy="{number(y)}" r="{number(half * 0.2)}"/></svg>'
    )


@register.filter
def since_words(coin_type: CoinType) -> str:
    """What a type is called when another is compared with it: "1919–30, Provisional"."""
    span = years_text(coin_type.first_year, coin_type.last_year)
    return f"{span}, {coin_type.series.name}" if span else coin_type.series.name


@register.filter
def has_picture(coin_type: CoinType, side: str) -> bool:
    """Whether the face has a struck picture (faces prefetched)."""
    return pictured_face(coin_type, side) is not None


@register.filter
def side_name(side: str) -> str:
    return str(Face(side=side))


register.filter(script_name)


@register.filter
def struck_years(issue: Issue) -> str:
    """The civil years an issue was struck in."""
    return years_text(issue.struck_from, issue.struck_to)


@register.filter
def thousands(count: int) -> str:
    """A count with thin spaces between thousands, the same in every language."""
    return f"{count:,}".replace(",", "\u202f")


@register.filter
def initial(face: Face) -> str:
    """The first letter of a face's legend, to tell the faces of a drawn coin apart."""
    for legend in face.legends.all():
        for letter in legend.text:
            if letter.isalpha():
                return letter.upper()
    return ""


@register.filter
def widest(types: list[CoinType]) -> float:
    """The largest width among types, in mm."""
    return max(map(width_mm, types), default=0)


@register.filter
def metal_said(coin_type: CoinType) -> str:
    """The metal and build in plain words."""
    return material.described(coin_type.composition) or material.metal_words(coin_type.metal)


@register.filter
def density(coin_type: CoinType) -> str:
    """The density its composition implies: "8.94 g/cm³", or ""."""
    text = material.density_text(coin_type.composition)
    return f"{text} g/cm³" if text else ""


@register.filter
def fine_metal(coin_type: CoinType) -> str:
    """The precious metal in a new piece, where it follows from the record."""
    return material.fine_text(coin_type.composition, coin_type.mass_g)
