"""A face of a piece that is to be struck, and the relief of it as struck and as worn.

What is computed: height maps in half diameters. Dies are cut once a type and size and kept, so
that striking many dates and grades of one type is quick. Made for the eye; no source.

>>> fresh, worn = (relief(Strike(20.0, numeral="5", grade=grade), px=96) for grade in (0, 1))
>>> bool(worn.max() < fresh.max())
True
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from catalogue.demo.struck.clay import Array
from catalogue.demo.struck.dies import (
    SOFTER,
    Planchet,
    blank_of,
    die_of,
    engrave,
    reach,
    softened,
)
from catalogue.demo.struck.layouts import Face


@dataclass(frozen=True)
class Strike:
    """A face of a piece. Lengths in mm; words for shapes and metals as in
    :class:`series.picture.drawing.Drawn`; texts and marks as in
    :class:`catalogue.demo.struck.layouts.Face`.

    ``border`` is "beaded", "toothed", "linear", "corded" or "none"; ``side`` ("obverse" or
    "reverse") and ``seed`` decide where scratches fall.
    """

    diameter_mm: float
    outline: str = "round"
    sides: int = 0
    hole: str = ""
    hole_mm: float = 0.0
    ring_mm: float = 0.0
    panel: str = ""
    panel_sides: int = 0
    colour: str = "copper-nickel"
    centre_colour: str = ""
    legend_top: str = ""
    legend_bottom: str = ""
    date: str = ""
    numeral: str = ""
    unit: str = ""
    motif: str = ""
    facing: str = "left"
    border: str = "beaded"
    mint_mark: str = ""
    mint_mark_clock: float = 6.0
    privy: str = ""
    privy_clock: float = 12.0
    grade: float = 0.0
    toning: float = 0.0
    seed: int = 0
    side: str = "obverse"

    @property
    def planchet(self) -> Planchet:
        return Planchet(
            self.diameter_mm,
            self.outline,
            self.sides,
            self.hole,
            self.hole_mm,
            self.ring_mm,
            self.panel,
            self.panel_sides,
        ).scaled()

    @property
    def face(self) -> Face:
        return Face(
            self.legend_top,
            self.legend_bottom,
            self.date,
            self.numeral,
            self.unit,
            self.motif,
            self.facing,
            self.mint_mark,
            self.mint_mark_clock,
            self.privy,
            self.privy_clock,
        )


def width_mm(piece: Strike) -> float:
    """What the whole width of a struck picture measures, in mm."""
    return piece.diameter_mm * reach(piece.planchet)


def relief(piece: Strike, px: int = 480) -> Array:
    """The worn height map of a face, in half diameters."""
    fresh, soft, softer = as_struck(piece.planchet, piece.face, piece.border, px)
    wear = min(max(float(piece.grade), 0.0), 1.0)
    if wear == 0:
        return fresh
    near = min(1.0, 1.6 * wear)
    heights = fresh + (soft - fresh) * np.float32(near)
    if wear > 0.25:
        heights += (softer - heights) * np.float32((wear - 0.25) * 1.1)
    cap = np.float32(0.048 - 0.04 * wear**0.8)
    over = np.maximum(heights - cap, 0)
    heights -= over * np.float32(0.8)
    heights *= np.float32(1 - 0.25 * wear)
    return heights


class Struck(NamedTuple):
    """Heights as struck, and the same softened a little and more."""

    fresh: Array
    soft: Array
    softer: Array


@lru_cache(maxsize=16)
def as_struck(planchet: Planchet, face: Face, border: str, px: int) -> Struck:
    die = die_of(planchet, face, border, px)
    if not face.date:
        return Struck(die.heights, die.soft, die.softer)
    heights = die.heights.copy()
    rows, columns = engrave(blank_of(planchet, px), heights, die.date(face), 0.028, moat=0.45)
    soft, softer = die.soft.copy(), die.softer.copy()
    reached = 2 * round(px * SOFTER) + 2  # a blur changes so much more about the date
    wide = tuple(
        slice(max(0, s.start - 2 * reached), s.stop + 2 * reached) for s in (rows, columns)
    )
    near = tuple(slice(max(0, s.start - reached), s.stop + reached) for s in (rows, columns))
    inner = tuple(
        slice(n.start - w.start, n.stop - w.start) for n, w in zip(near, wide, strict=True)
    )
    for whole, patch in zip((soft, softer), softened(heights[wide], px), strict=True):
        whole[near] = patch[inner]
    return Struck(heights, soft, softer)
