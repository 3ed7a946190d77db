"""What a drawing needs to know of a type, taken from its record."""

from __future__ import annotations

import re

from series.metal.material import looks
from series.picture.drawing import Drawn
from series.picture.outlines import panel
from series.text.numerals import numeral
from series.types.models import CoinType

UNKNOWN_MM = 22.0
"""The width at which a type is drawn whose diameter is not recorded."""

USUAL_CENTRE = 0.68
"""The share of the width a centre is drawn at when only its metal is recorded."""

_DATE = re.compile(r"\bdated?\b", re.IGNORECASE)


def drawn(
    coin_type: CoinType,
    text: str | None = None,
    gap: bool = False,
    date: str = "",
) -> Drawn:
    """The type as :mod:`series.picture.drawing` takes it; ``text`` None means the denomination's
    numeral.

    ``date`` is that of one piece; a type by itself has none.

    Runs no query when ``coin_type.denomination`` is at hand.
    """
    outer, centre = colours(coin_type)
    ring = float(coin_type.ring_mm or (width_mm(coin_type) * USUAL_CENTRE if centre else 0))
    return Drawn(
        diameter_mm=width_mm(coin_type),
        outline=coin_type.outline,
        sides=coin_type.sides or 0,
        hole=coin_type.hole,
        hole_mm=float(coin_type.hole_mm or (width_mm(coin_type) * 0.18 if coin_type.hole else 0)),
        ring_mm=ring,
        panel=panel(coin_type.inner_panel)[0],
        panel_sides=panel(coin_type.inner_panel)[1],
        colour=outer,
        centre_colour=centre,
        text=numeral(coin_type.denomination.name) if text is None else text,
        date=date,
        gap=gap,
        supposed=coin_type.diameter_mm is None,
    )


def dated_side(coin_type: CoinType) -> str:
    """The face that bears the date: the one described so, else the one with the value.

    Faces are looked at only when they were prefetched; otherwise it is taken to be the reverse.
    """
    kept = getattr(coin_type, "_prefetched_objects_cache", {}).get("faces") or ()
    faces = [face for face in kept if face.side != "edge"]
    described = [face for face in faces if _DATE.search(face.description)]
    valued = [face for face in faces if face.value_as]
    found = described if len(described) == 1 else valued
    return str(found[0].side) if len(found) == 1 else "reverse"


def width_mm(coin_type: CoinType) -> float:
    """The recorded diameter or width, or a middling one when it is not recorded."""
    return float(coin_type.diameter_mm or UNKNOWN_MM)


def colours(coin_type: CoinType) -> tuple[str, str]:
    """What the piece looks like, and its centre where it has one of another metal."""
    found = looks(coin_type.composition)
    if not found:
        return coin_type.metal, ""
    return found[0], found[-1] if len(found) > 1 else ""
