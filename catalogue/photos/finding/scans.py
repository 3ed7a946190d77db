"""Coins on a flatbed scan or a photograph from above: where each lies, how wide and of what look.

What is computed: for each coin its middle, its width with the uncertainty of that, its outline and
the class of its colour, in reading order: row by row from the top, each from the left. Units:
pixels; millimetres with a scale in pixels to the inch (an inch is 25.4 mm exactly). A width is that
of the circle that most of the edge lies on; of a coin with sides or lobes it is the widest measure
across, of an irregular one the mean. Source: none; tried on made scans and on the public photograph
of 24 coins in scikit-image.

>>> picture = np.full((300, 400, 3), 245, np.uint8)
>>> _ = cv2.circle(picture, (100, 150), 60, (55, 95, 160), -1, cv2.LINE_AA)
>>> _ = cv2.circle(picture, (290, 140), 50, (150, 152, 155), -1, cv2.LINE_AA)
>>> for coin in coins_on(picture):
...     print(round(coin.x), round(coin.y), round(coin.width), coin.outline, coin.colour)
100 150 121 round copper-red
290 140 101 round white
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from catalogue.photos.finding.circles import circle_through
from catalogue.photos.finding.discs import Disc, discs
from catalogue.photos.finding.edges import RAYS, TURN, edge_by_rays
from catalogue.photos.finding.ground import Ground, Pixels, ground_of

INCH = 25.4  # mm
LOOKED_AT = 1600
"""The longest side, in px, of the picture in which coins are looked for."""
_SEEN = 0.25  # of the rays, without which it is no coin
_ROUND = 0.006  # of the radius: how far the edge of a round coin may swing
_IRREGULAR = 0.02
_AGREED = 0.55  # of the edge, on one circle
_REGULAR = range(3, 17)  # sides or lobes


@dataclass(frozen=True)
class Coin:
    """``x``, ``y``, ``width`` and ``within`` (half of a range that holds it 19 times in 20): px.

    ``outline``: round, polygon, scalloped or irregular; ``colour``: copper-red, yellow, white,
    grey or two-colour.
    """

    x: float
    y: float
    width: float
    within: float
    outline: str
    colour: str


def coins_on(pixels: Pixels) -> list[Coin]:
    """The coins of a picture (height × width × blue, green, red) in reading order."""
    height, width = pixels.shape[:2]
    smaller = min(1.0, LOOKED_AT / max(height, width))
    size = max(1, round(width * smaller)), max(1, round(height * smaller))
    looked_at = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA) if smaller < 1 else pixels
    ground = ground_of(pixels)
    off = ground.of_size(*size).difference(np.asarray(looked_at, np.uint8))
    found = [
        _measured(pixels, ground, Disc((d.x + 0.5) / smaller - 0.5, (d.y + 0.5) / smaller - 0.5,
                                       d.radius / smaller))
        for d in discs(off, ground.spread)
    ]  # fmt: skip
    return in_reading_order(coin for coin in found if coin is not None)


def _measured(pixels: Pixels, ground: Ground, disc: Disc) -> Coin | None:
    height, width = pixels.shape[:2]
    reach = int(1.3 * disc.radius + 8)
    left, top = max(0, int(disc.x) - reach), max(0, int(disc.y) - reach)
    part = pixels[top : min(height, int(disc.y) + reach), left : min(width, int(disc.x) + reach)]
    off = ground.difference(part, left, top)
    x, y, radius, spread, share = disc.x - left, disc.y - top, disc.radius, 0.0, 1.0
    far = np.full(RAYS, np.nan)
    for _round in range(2):
        far = edge_by_rays(part, off, x, y, radius, ground.spread)
        seen = ~np.isnan(far)
        if seen.mean() < _SEEN:
            return None
        edge_x, edge_y = x + far[seen] * np.cos(TURN[seen]), y + far[seen] * np.sin(TURN[seen])
        x, y, radius, spread, share = circle_through(edge_x, edge_y)
    agreed = share > _AGREED and spread < _ROUND * radius
    outline = "round" if agreed else _outline(edge_x - x, edge_y - y, radius)
    spans = _spans(edge_x, edge_y)
    widths = {"round": 2 * radius, "irregular": float(spans.mean())}
    across = widths.get(outline, float(spans.max()))
    count = max(1.0, share * seen.sum() / 12)
    within = 4 * (0.2 + 2 * spread / math.sqrt(count)) + 10 * (1 - share)
    if outline == "irregular":
        x, y = disc.x - left, disc.y - top
        within = max(within, 2 * float(np.std(spans)))
    colour = colour_class(part, x, y, radius)
    return Coin(x + left, y + top, across, within, outline, colour)


def _outline(x: NDArray[np.float64], y: NDArray[np.float64], radius: float) -> str:
    """What the swing of the edge around its circle is like."""
    swing = np.hypot(x, y) / radius - 1
    turn = np.arctan2(y, x)
    order = np.argsort(turn)
    even = np.interp(np.linspace(-np.pi, np.pi, RAYS, endpoint=False), turn[order], swing[order],
                     period=2 * np.pi)  # fmt: skip
    even = np.clip(even, *np.percentile(even, (1, 99)))
    if np.std(even) < _ROUND:
        return "round"
    waves = np.abs(np.fft.rfft(even - even.mean())) / RAYS * 2
    sides = max(_REGULAR, key=lambda n: waves[n])
    others = max(waves[n] for n in range(1, 24) if n % sides)
    if waves[sides] < 1.5 * others or waves[sides] < 0.004:
        return "round" if np.std(even) < _IRREGULAR else "irregular"
    lean = float(np.mean((even - even.mean()) ** 3)) / float(np.std(even)) ** 3
    return "polygon" if lean >= 0 else "scalloped"


def _spans(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """The measures across, over all directions."""
    spans = np.outer(np.cos(TURN[: RAYS // 2]), x) + np.outer(np.sin(TURN[: RAYS // 2]), y)
    ends = np.percentile(spans, (0.3, 99.7), axis=1)
    return np.asarray(ends[1] - ends[0])


def colour_class(part: Pixels, x: float, y: float, radius: float) -> str:
    """The class of colour of a coin, its ring and its middle apart; common practice, no source."""
    lab = cv2.cvtColor(np.asarray(part), cv2.COLOR_BGR2LAB).astype(np.float32)
    scale, middle_grey = np.array([100 / 255, 1, 1]), np.array([0, 128, 128])
    lab = np.asarray(lab * scale - middle_grey, np.float32)
    rows, columns = np.mgrid[0 : part.shape[0], 0 : part.shape[1]]
    away = np.hypot(columns - x, rows - y) / radius
    ring = _class_of(np.median(lab[(away > 0.78) & (away < 0.95)], axis=0))
    middle = _class_of(np.median(lab[away < 0.5], axis=0))
    if ring == middle or {ring, middle} == {"white", "grey"}:
        return middle
    return "two-colour"


def _class_of(lab: NDArray[np.float32]) -> str:
    light, red, yellow = map(float, lab)
    if math.hypot(red, yellow) < 9:
        return "white" if light > 45 else "grey"
    return "copper-red" if math.degrees(math.atan2(yellow, red)) < 66 else "yellow"


def in_reading_order(coins: Iterable[Coin]) -> list[Coin]:
    """Row by row: a coin is of a row if its middle lies within the half of the row's first coin."""
    rows: list[list[Coin]] = []
    for coin in sorted(coins, key=lambda coin: (coin.y, coin.x)):
        if rows and abs(coin.y - np.mean([c.y for c in rows[-1]])) < 0.5 * rows[-1][0].width:
            rows[-1].append(coin)
        else:
            rows.append([coin])
    return [coin for row in rows for coin in sorted(row, key=lambda coin: coin.x)]


def plain(coins: Iterable[Coin], dpi: float | None) -> dict[str, Any]:
    """The coins as JSON takes them: in mm with a scale, in px without."""
    scale, unit = (INCH / dpi, "mm") if dpi else (1.0, "px")
    return {
        "dpi": dpi,
        "coins": [
            {
                f"x_{unit}": round(coin.x * scale, 3),
                f"y_{unit}": round(coin.y * scale, 3),
                f"diameter_{unit}": round(coin.width * scale, 3),
                f"within_{unit}": round(coin.within * scale, 3),
                "outline": coin.outline,
                "colour": coin.colour,
            }
            for coin in coins
        ],
    }
