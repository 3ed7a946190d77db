"""Both faces of what a stop shows: photographed, else its type's pictures, else drawn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from catalogue.models import Photo
from catalogue.talks.doors import Door, PaperDoor
from catalogue.talks.met import Met
from catalogue.talks.shown import ShownFace
from series.models import CoinType, Face
from series.picture import drawing
from series.picture.coins import initial, pictured_face
from series.types.drawn import UNKNOWN_MM, drawn, width_mm

SIDES = ("obverse", "reverse")


def faces_shown(one: Met, door: Door) -> tuple[ShownFace, ...]:
    """Obverse and reverse of a coin, or the picture beside a line of text."""
    if not one.is_coin:
        photo = one.stop.photo
        if photo is None or photo.deleted_at is not None:
            return ()
        alt = one.stop.heading or str(_("a picture"))
        return (_photographed(photo, door, alt, {"width_mm": 0.0}),)
    faces = (_face(one, side, door) for side in SIDES)
    return tuple(face for face in faces if face is not None)


def _face(one: Met, side: str, door: Door) -> ShownFace | None:
    coin_type = one.coin_type
    photo = one.photos.get(side)
    to_scale = isinstance(door, PaperDoor) and coin_type is not None
    if photo is not None and (photo.trimmed or not to_scale):
        shape = {"width_mm": _width(one)} if coin_type is None else _shape(coin_type, side)
        return _photographed(photo, door, _alt(one, side), shape)
    if coin_type is None:
        return None
    face = pictured_face(coin_type, side)
    if face is None:
        return _drawn(one, coin_type, side)
    return ShownFace(
        side, _alt(one, side), src=door.face(coin_type, face), **_shape(coin_type, side)
    )


def _photographed(photo: Photo, door: Door, alt: str, shape: dict[str, Any]) -> ShownFace:
    return ShownFace(
        photo.side, alt, src=door.photo(photo), px=photo.width, trimmed=photo.trimmed, **shape
    )


def _width(one: Met) -> float:
    """mm across what is not identified: as measured, else a middling one."""
    measured = one.holding.diameter_mm if one.holding is not None else None
    return float(measured or UNKNOWN_MM)


def _alt(one: Met, side: str) -> str:
    name = one.coin_type.denomination.name if one.coin_type is not None else _("a coin")
    words = _("Obverse of %(name)s") if side == "obverse" else _("Reverse of %(name)s")
    said = words % {"name": name}
    described = _described(one.coin_type, side)
    return f"{said}: {described}" if described else said


def _described(coin_type: CoinType | None, side: str) -> str:
    faces = coin_type.faces.all() if coin_type is not None else ()
    return next((face.description for face in faces if face.side == side), "")


def _drawn(one: Met, coin_type: CoinType, side: str) -> ShownFace:
    """A face drawn from its record, in the inks of paper, which no other drawing is needed for."""
    shape = _shape(coin_type, side)
    svg = drawing.coin(shape["shape"], 1.0, printed=True)
    return ShownFace(side, _alt(one, side), svg=svg, **shape)


def _shape(coin_type: CoinType, side: str) -> dict[str, Any]:
    return {
        "width_mm": width_mm(coin_type),
        "outline": coin_type.outline,
        "sides": coin_type.sides or 0,
        "shape": drawn(coin_type, text=_text(coin_type, side)),
    }


def _text(coin_type: CoinType, side: str) -> str | None:
    """What is drawn on a face: the value (None) on its side, the letter its legend begins with."""
    faces: Mapping[str, Face] = {face.side: face for face in coin_type.faces.all()}
    face = faces.get(side)
    valued = next((each.side for each in faces.values() if each.value_as), "reverse")
    if side == valued:
        return None
    return initial(face) if face is not None else ""
