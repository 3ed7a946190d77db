"""The faces of a talk on paper: what is drawn of each, how wide, and under which key.

What is computed: from the plain form of a talk, the coin that paper draws at true size (mm). A
picture that is not trimmed to the coin's edge has no known scale, so the coin is drawn from its
shape instead; a picture without a coin (a line of text with a picture) is shown as it is.

>>> from catalogue.talks.shown import ShownFace, ShownStop
>>> stop = ShownStop(4, "piece", "25 tinne", faces=(ShownFace("obverse", "a net", 21.0),))
>>> [(coin.key, coin.width) for coin in coins_of(stop)]
[('face-5-obverse', 21.0)]
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from catalogue.printing.coins import coin_art, widest_mm
from catalogue.talks.shown import ShownFace, ShownStop, ShownTalk
from series.picture.drawing import Drawn, supposed_mark
from series.picture.outlines import OUTLINES

SIDES = ("obverse", "reverse")
PictureOf = Callable[[str], bytes | None]
"""The bytes of the picture at the address of a face, None where there is none."""


@dataclass(frozen=True)
class Coin:
    """One face at true size: its key in the document and its width across the widest, mm."""

    key: str
    face: ShownFace
    shape: Drawn
    width: float


def coins_of(stop: ShownStop) -> tuple[Coin, ...]:
    """The faces of a stop that are coins: obverse and reverse, in this order."""
    found = [face for side in SIDES for face in stop.faces if face.side == side]
    coins = []
    for face in found:
        shape = shape_of(face)
        if shape is not None:
            coins.append(Coin(face_key(stop, face), face, shape, widest_mm(shape)))
    return tuple(coins)


def picture_of(stop: ShownStop) -> ShownFace | None:
    """The picture of a stop that shows no coin."""
    if coins_of(stop):
        return None
    return next((face for face in stop.faces if face.src), None)


def face_key(stop: ShownStop, face: ShownFace) -> str:
    return f"face-{stop.number + 1}-{face.side}"


def shape_of(face: ShownFace) -> Drawn | None:
    """What paper draws of a face, None where its scale is not known."""
    if face.shape is not None:
        return face.shape
    if not face.width_mm > 0 or not face.trimmed:
        return None
    outline = face.outline if face.outline in OUTLINES else "round"
    return Drawn(face.width_mm, outline=outline)


@dataclass(frozen=True)
class Art:
    """Markup of every coin by its key, and the pictures of the document by their names."""

    coins: Mapping[str, str]
    images: Mapping[str, bytes]


def art_of(talk: ShownTalk, picture: PictureOf, scale: float, done: Callable[[int], None]) -> Art:
    """All coins of a talk at ``scale`` (1 is true size); ``done`` is told how many stops are."""
    coins: dict[str, str] = {}
    images: dict[str, bytes] = {}
    names: dict[str, str] = {}

    def name_of(face: ShownFace) -> str:
        if face.src and face.src not in names:
            data = picture(face.src)
            names[face.src] = f"picture-{len(images) + 1}" if data else ""
            if data:
                images[names[face.src]] = data
        return names.get(face.src, "")

    for number, stop in enumerate(talk.stops, 1):
        for coin in coins_of(stop):
            name = name_of(coin.face) if coin.face.trimmed else ""
            markup = coin_art(coin.shape, scale, name, coin.key)
            coins[coin.key] = markup + supposed_mark(coin.shape, scale)
        alone = picture_of(stop)
        if alone is not None and (name := name_of(alone)):
            images[face_key(stop, alone)] = images[name]
        done(number)
    return Art(coins, images)
