"""Struck pictures for the demo: a face of a type, a face of a holding, from their records."""

from __future__ import annotations

from decimal import Decimal

from PIL import Image

from catalogue.demo.struck.strike import MOTIFS, Strike, photographed, strike
from series.models import CoinType, Face, Issue
from series.text.numerals import numeral
from series.types.drawn import drawn

PX = 420
LARGE_PX = 1000
"""Of what the demo's talk shows on a wall."""
_MOTIF_NAMES = {"tide-table": "tide table", "wreath": "coral wreath", "compass": "star"}
_WORN = {0: 0.85, 10: 0.78, 18: 0.6, 32: 0.4, 50: 0.2, 63: 0.0}


def struck_face(
    coin_type: CoinType, face: Face, issue: Issue | None = None, px: int = PX
) -> Image.Image:
    """The face of a type as struck, unworn, with the date of ``issue``; RGBA, trimmed."""
    return strike(_piece(coin_type, face, issue, 0.0, 0.12, 1), px)


def worn_face(
    coin_type: CoinType, face: Face, issue: Issue, rank: int, seed: int, px: int = PX
) -> Image.Image:
    """A face of one worn piece, trimmed to its edge."""
    return strike(_piece(coin_type, face, issue, _wear(rank), 0.2 + seed % 5 / 10, seed), px)


def large_face(coin_type: CoinType, face: Face, issue: Issue, rank: int, seed: int) -> Image.Image:
    """The same, large enough for a wall."""
    return worn_face(coin_type, face, issue, rank, seed, LARGE_PX)


def photographed_face(
    coin_type: CoinType, face: Face, issue: Issue, rank: int, seed: int
) -> Image.Image:
    """A face of one worn piece as photographed on paper beside a scale."""
    return photographed(_piece(coin_type, face, issue, _wear(rank), 0.3, seed), 640)


def _wear(rank: int) -> float:
    """Wear of the drawing for the rank of a grade; chosen by eye."""
    return _WORN[max(r for r in _WORN if r <= rank)]


def _piece(
    coin_type: CoinType,
    face: Face,
    issue: Issue | None,
    wear: float,
    toning: float,
    seed: int,
) -> Strike:
    shape = drawn(coin_type)
    legends = [legend for legend in face.legends.all() if legend.script == "Latn"]
    words = [legend.text for legend in legends]
    figure = unit = ""
    if face.value_as == Face.ValueAs.NUMERAL:
        figure = numeral(coin_type.denomination.name)
        unit = coin_type.denomination.name.split()[-1].upper()
    elif face.value_as == Face.ValueAs.WORDS and words:
        unit = "\n".join(words.pop().split())
    if figure and words and any(char.isdigit() for char in words[-1]):
        words.pop()
    dated = not face.value_as if _dated_obverse(coin_type) else bool(face.value_as)
    mint = _mint_mark(issue, face)
    motifs = [_MOTIF_NAMES.get(m.key, m.key) for m in face.motifs.all()]
    known = [name for name in motifs if name in MOTIFS]
    if not known and not figure and not unit:
        known = ["star"]  # a legend in a script that cannot be struck leaves the face bare
    return Strike(
        diameter_mm=shape.diameter_mm,
        outline=shape.outline,
        sides=shape.sides,
        hole=shape.hole,
        hole_mm=shape.hole_mm,
        ring_mm=shape.ring_mm,
        colour=shape.colour,
        centre_colour=shape.centre_colour,
        legend_top=words[0] if words else "",
        legend_bottom=words[1] if len(words) > 1 else "",
        date=issue.shown if issue is not None and dated else "",
        numeral=figure,
        unit=unit,
        motif=known[0] if known else "",
        facing=face.bust if face.bust in {"left", "right"} else "left",
        border=face.border or "linear",
        mint_mark=mint[0],
        mint_mark_clock=mint[1],
        grade=wear,
        toning=toning,
        seed=seed,
        side=face.side,
    )


def _dated_obverse(coin_type: CoinType) -> bool:
    """Whether the date stands on the face without the value, as the descriptions say."""
    return any(
        "date" in face.description and not face.value_as
        for face in coin_type.faces.all()
        if face.side != "edge"
    )


def _mint_mark(issue: Issue | None, face: Face) -> tuple[str, float]:
    if issue is None:
        return "", 6.0
    for mark in issue.marks.all():
        if mark.kind == "mint" and mark.side == face.side and len(mark.text) == 1:
            return mark.text, float(mark.clock or Decimal(6))
    return "", 6.0
