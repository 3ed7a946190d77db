"""Draw a coin from its record, as SVG, at true relative scale.

A plate, a ladder or an album page shows many coins at one scale. Each is drawn from what
the record says (outline, diameter, hole, ring and centre, inner panel, colour of the metal)
by :func:`coin`, which returns an SVG fragment centred on a given point. One unit of the
drawing is one millimetre times ``scale``: pixels per millimetre on screen, 1 on paper.

Only attributes are written, never a style, so a strict content policy holds. On screen, fills
refer to gradients that :func:`series.picture.paint.defs` returns: put them once on a page. For
paper, ask for ``printed``: no ``defs`` are needed. A round piece always holds one plain
``<circle class="coin-edge">`` whose radius is exactly half the diameter, so its size can be read
back from a PDF. The shapes come from :mod:`series.picture.outlines`.

>>> print(coin(Drawn(diameter_mm=20, gap=True), scale=2))
<g class="coin coin-gap"><circle class="coin-edge" r="20" fill="none" stroke="#8A8678" \
stroke-width="0.8" stroke-dasharray="2.618 2.618"/></g>
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from unicodedata import east_asian_width

from series.picture.metals import METALS, UNKNOWN_METAL, Tones, known
from series.picture.outlines import outline_arcs, outline_length, outline_path, path_data
from series.picture.paint import gradient, layers
from series.text.words import number

SERIF = "Source Serif Pro, Georgia, serif"
GAP_INK = "#8A8678"  # at least 3:1 on the light plate ground and on a dark one


@dataclass(frozen=True)
class Drawn:
    """What a drawing needs to know of a coin. Lengths in mm; 0 or "" where there is none.

    ``outline`` and ``panel`` are words of :data:`series.picture.outlines.OUTLINES`; ``sides``
    counts sides, scallops or notches. ``hole`` is "round" or "square", ``hole_mm`` its diameter or
    side. ``ring_mm`` is the diameter of the centre of a ring-and-centre piece, whose metal is
    ``centre_colour``. ``text`` is a numeral or a short word, ``date`` stands small below it as on
    the coin, in its own script. A ``gap`` is a piece not held,
    drawn as an empty dashed outline.
    ``supposed``: the diameter is not on record but a middling one; :func:`supposed_mark` says so.
    """

    diameter_mm: float
    outline: str = "round"
    sides: int = 0
    hole: str = ""
    hole_mm: float = 0.0
    ring_mm: float = 0.0
    panel: str = ""
    panel_sides: int = 0
    colour: str = UNKNOWN_METAL
    centre_colour: str = ""
    text: str = ""
    date: str = ""
    gap: bool = False
    supposed: bool = False


@lru_cache(maxsize=4096)
def coin(drawn: Drawn, scale: float = 1.0, printed: bool = False) -> str:
    """An SVG ``<g>`` with the coin centred on (0, 0); ``scale`` is units per millimetre.

    The soft shadow reaches 0.05 of the diameter further, to the lower right. Drawings are kept:
    a plate shows many of one kind.
    """
    kind = "coin coin-gap" if drawn.gap else "coin"
    parts = _gap(drawn, scale) if drawn.gap else _piece(drawn, scale, printed)
    return f'<g class="{kind}">{"".join(parts)}</g>'


def _shape(drawn: Drawn, size: float, attributes: str, kind: str = "") -> str:
    """The coin's outline at another size, as a circle where it is round."""
    kind = f' class="{kind}"' if kind else ""
    if drawn.outline == "round":
        return f'<circle{kind} r="{number(size / 2)}" {attributes}/>'
    return f'<path{kind} d="{outline_path(drawn.outline, size, drawn.sides)}" {attributes}/>'


def _gap(drawn: Drawn, scale: float) -> list[str]:
    size = drawn.diameter_mm * scale
    length = outline_length(drawn.outline, size, drawn.sides)
    dashes = max(12, round(length / (0.52 * scale) / 10) * 2)
    dash = number(length / (2 * dashes))
    line = (
        f'fill="none" stroke="{GAP_INK}" stroke-width="{number(0.4 * scale)}" '
        f'stroke-dasharray="{dash} {dash}"'
    )
    return [_shape(drawn, size, line, "coin-edge")]


def _piece(drawn: Drawn, scale: float, printed: bool) -> list[str]:
    size = drawn.diameter_mm * scale
    metal = METALS[known(drawn.colour)]
    hole = drawn.hole_mm * scale if drawn.hole else 0.0
    return [
        *_shadow(drawn, size, hole),
        *_body(drawn, size, hole, printed),
        *_rim(drawn, size, metal),
        *(_centre(drawn, size, scale, hole, printed) if drawn.ring_mm else ()),
        *(_panel(drawn, size, metal) if drawn.panel else ()),
        *(_hole_edge(drawn, size, hole, metal) if hole else ()),
        *(_numeral(drawn, size, hole) if drawn.text else ()),
        *(_date(drawn, size, hole) if drawn.date else ()),
    ]


def _shadow(drawn: Drawn, size: float, hole: float) -> list[str]:
    parts = []
    for dx, dy, opacity in ((0.03, 0.045, 0.10), (0.014, 0.022, 0.16)):
        ink = (
            f'transform="translate({number(size * dx)} {number(size * dy)})" fill="#000000" '
            f'fill-opacity="{opacity}"'
        )
        parts.append(_holed(drawn, size, hole, ink))
    return parts


def _holed(drawn: Drawn, size: float, hole: float, attributes: str) -> str:
    """The outline with its hole really open, so that the ground shows through."""
    if not hole:
        return _shape(drawn, size, attributes)
    data = outline_path(drawn.outline, size, drawn.sides, drawn.hole, hole)
    return f'<path fill-rule="evenodd" d="{data}" {attributes}/>'


def _body(drawn: Drawn, size: float, hole: float, printed: bool) -> list[str]:
    """The metal, and one shape of exactly the coin's size marked as its edge."""
    if printed:
        inks = layers(drawn.colour)
        parts = [_shape(drawn, size, f'fill="{"none" if hole else inks[0]}"', "coin-edge")]
        return parts + _laid(drawn.outline, drawn.sides, drawn.hole, size, hole, inks)
    fill = f'fill="url(#{gradient(drawn.colour)})"'
    if hole:
        return [
            _holed(drawn, size, hole, fill),
            _shape(drawn, size, 'fill="none"', "coin-edge"),
        ]
    return [
        _shape(drawn, size, fill, "coin-edge"),
        _shape(drawn, size * 0.93, 'fill="url(#coin-dish)"'),
    ]


def _laid(
    outline: str, sides: int, hole_shape: str, size: float, hole: float, inks: list[str]
) -> list[str]:
    """Smaller and smaller shapes, each shifted to the upper left, one on another."""
    parts = []
    for k, ink in enumerate(inks):
        share = k / len(inks)
        across = size * (1 - share)
        dx, dy = -0.15 * share * size, -0.2 * share * size
        if 0.97 * across / 2 - 0.25 * share * size <= 0.72 * hole:
            break
        if outline == "round" and not hole:
            parts.append(
                f'<circle cx="{number(dx)}" cy="{number(dy)}" r="{number(across / 2)}" '
                f'fill="{ink}"/>'
            )
            continue
        arcs = outline_arcs(outline, across, sides)
        data = path_data([arc._replace(cx=arc.cx + dx, cy=arc.cy + dy) for arc in arcs])
        if hole:
            data += path_data(outline_arcs(hole_shape, hole))
        parts.append(f'<path fill-rule="evenodd" d="{data}" fill="{ink}"/>')
    return parts


def _line(colour: str, width: float, opacity: float) -> str:
    return (
        f'fill="none" stroke="{colour}" stroke-width="{number(width)}" '
        f'stroke-opacity="{number(opacity)}"'
    )


def _rim(drawn: Drawn, size: float, metal: Tones) -> list[str]:
    """A dark outer edge, the bright crest of the rim, its inner foot, and a border of beads."""
    edge, crest, foot, beads = 0.985 * size, 0.962 * size, 0.93 * size, 0.875 * size
    length = outline_length(drawn.outline, beads, drawn.sides)
    count = max(24, round(length / (0.034 * size)))
    dots = f' stroke-linecap="round" stroke-dasharray="0 {number(length / count)}"'
    drop = number(size * 0.006)
    return [
        _shape(drawn, edge, _line(metal.deep, 0.015 * size, 0.42)),
        _shape(drawn, crest, _line(metal.shine, 0.022 * size, 0.42)),
        _shape(drawn, foot, _line(metal.deep, 0.012 * size, 0.38)),
        _shape(
            drawn,
            beads,
            f'transform="translate({drop} {drop})" ' + _line(metal.deep, 0.02 * size, 0.5) + dots,
        ),
        _shape(drawn, beads, _line(metal.shine, 0.016 * size, 0.6) + dots),
    ]


def _centre(drawn: Drawn, size: float, scale: float, hole: float, printed: bool) -> list[str]:
    """The centre of a ring-and-centre piece, with the joint shaded like a small step."""
    r = drawn.ring_mm * scale / 2
    colour = drawn.centre_colour or drawn.colour
    middle = Drawn(drawn.ring_mm, hole=drawn.hole)
    if printed:
        bodies = _laid("round", 0, drawn.hole, 2 * r, hole, layers(colour))
    else:
        bodies = [_holed(middle, 2 * r, hole, f'fill="url(#{gradient(colour)})"')]
    metal = METALS[known(colour)]
    return [
        *bodies,
        f'<circle r="{number(r)}" {_line(metal.deep, 0.014 * size, 0.5)}/>',
        f'<circle r="{number(r + 0.011 * size)}" {_line("#FFFFFF", 0.008 * size, 0.4)}/>',
    ]


def _panel(drawn: Drawn, size: float, metal: Tones) -> list[str]:
    across = 0.8 * size
    data = outline_path(drawn.panel, across, drawn.panel_sides)
    drop = number(size * 0.008)
    return [
        f'<path d="{data}" transform="translate({drop} {drop})" '
        f"{_line(metal.shine, 0.012 * size, 0.55)}/>",
        f'<path d="{data}" {_line(metal.deep, 0.012 * size, 0.5)}/>',
    ]


def _hole_edge(drawn: Drawn, size: float, hole: float, metal: Tones) -> list[str]:
    inner = outline_path(drawn.hole, hole + 0.015 * size)
    outer = outline_path(drawn.hole, hole + 0.055 * size)
    return [
        f'<path d="{outer}" {_line(metal.shine, 0.018 * size, 0.45)}/>',
        f'<path d="{inner}" {_line(metal.deep, 0.015 * size, 0.5)}/>',
    ]


def _numeral(drawn: Drawn, size: float, hole: float) -> list[str]:
    """The numeral, above the hole where there is one."""
    text = drawn.text.strip()
    width = _width(text)
    if hole:
        band = (0.86 * size - 1.06 * hole) / 2
        full = any(east_asian_width(one) in "WF" for one in text)  # a letter that fills its square
        font = min((0.72 if full else 0.98) * band, 0.5 * size / width)
        middle = -(0.53 * hole + 0.47 * band)
    else:
        room = min(0.66 * size, 0.85 * drawn.ring_mm / drawn.diameter_mm * size or size)
        font = min(0.5 * size, room / width, 0.74 * room)
        middle = 0.0
        if drawn.date:
            inner = _inner(drawn, size)
            font, middle = min(font, 0.36 * inner, 0.55 * inner / width), -0.07 * inner
    metal = METALS[known(drawn.centre_colour if drawn.ring_mm else drawn.colour)]
    return _struck(text, font, middle, metal)


def _date(drawn: Drawn, size: float, hole: float) -> list[str]:
    """The date below the numeral, or below the hole, in the order of its figures."""
    text = drawn.date.strip()
    inner = _inner(drawn, size)
    font = min(0.15 * inner, 0.5 * inner / _width(text))
    middle = max(0.25 * inner, hole / 2 + 0.1 * inner)
    metal = METALS[known(drawn.centre_colour if drawn.ring_mm else drawn.colour)]
    return _struck(text, font, middle, metal, ' direction="ltr" unicode-bidi="bidi-override"')


def _inner(drawn: Drawn, size: float) -> float:
    """The width of what numeral and date stand on: the coin, or its centre."""
    return drawn.ring_mm / drawn.diameter_mm * size if drawn.ring_mm else size


def _width(text: str) -> float:
    """How wide a text is, of its size, bold; as measured by eye."""
    return sum(
        0.53 if one.isdecimal() else 1.0 if east_asian_width(one) in "WF" else 0.72 for one in text
    )


def _struck(text: str, font: float, middle: float, metal: Tones, order: str = "") -> list[str]:
    """A text with a light lower edge, as if struck."""
    step = 0.028 * font
    shared = (
        f'text-anchor="middle" font-family="{SERIF}" font-weight="700" '
        f'font-size="{number(font)}"{order}'
    )
    base = middle + 0.33 * font  # figures of the serif are 0.66 of its size high
    written = escape(text)
    return [
        f'<text class="coin-text" x="{number(step)}" y="{number(base + step)}" {shared} '
        f'fill="{metal.shine}" fill-opacity="0.75" aria-hidden="true">{written}</text>',
        f'<text class="coin-text" x="0" y="{number(base)}" {shared} fill="{metal.deep}" '
        f'fill-opacity="0.82">{written}</text>',
    ]


def supposed_mark(drawn: Drawn, scale: float = 1.0, title: str = "") -> str:
    """A question mark in a small disc at the lower right of a coin whose size is ``supposed``.

    It goes over the coin, which is centred on (0, 0); "" where the size is on record. ``title``
    is shown by a browser to whoever points at it.

    >>> supposed_mark(Drawn(22))
    ''
    """
    if not drawn.supposed:
        return ""
    size = drawn.diameter_mm * scale
    r = 0.17 * size
    font = 1.55 * r
    said = f"<title>{escape(title)}</title>" if title else ""
    return (
        f'<g class="coin-supposed" transform="translate({number(0.35 * size)} '
        f'{number(0.35 * size)})">{said}'
        f'<circle r="{number(r)}" fill="#FDFCF9" stroke="#1F2226" '
        f'stroke-width="{number(0.022 * size)}"/>'
        f'<text x="0" y="{number(0.34 * font)}" text-anchor="middle" font-family="{SERIF}" '
        f'font-weight="700" font-size="{number(font)}" fill="#1F2226">?</text></g>'
    )


def fit_scale(diameters_mm: Sequence[float], most: float, largest_px: float) -> float:
    """Pixels per millimetre, ``most`` at most, so that no piece is wider than ``largest_px``.

    >>> fit_scale([17.5, 29.0], most=3.0, largest_px=58), fit_scale([], most=3.0, largest_px=58)
    (2.0, 3.0)
    """
    return min([most, *(largest_px / diameter for diameter in diameters_mm)])
