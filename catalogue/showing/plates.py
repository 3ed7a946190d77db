"""What others see of the pieces on a page: nothing but the fields of :class:`Seen`.

A page for others is drawn from these alone and never from a holding, so that what is private of
one has no way onto it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from catalogue.models import Holding, Photo, Showing, ShownPiece
from catalogue.photos.queries import faces_of
from catalogue.showing.doors import Door
from series.models import CoinType
from series.picture.coins import pictured_face
from series.types.drawn import width_mm

SIDES = ("obverse", "reverse")
SCALE, LARGEST_PX = 3.4, 120
FACE_PX = 320


@dataclass(frozen=True)
class Picture:
    """One side of a piece: the address of a picture, or "" where it is drawn from the record.

    ``own``: a photograph of this very piece; ``trimmed``: cut to the coin's edge.
    """

    side: str
    address: str = ""
    own: bool = False
    trimmed: bool = True
    width: int = 0
    height: int = 0


@dataclass(frozen=True)
class Seen:
    """All that others see of one piece."""

    coin_type: CoinType | None
    date: str
    grade: str
    grade_scale: str
    caption: str
    address: str
    picture: Picture

    @property
    def label(self) -> str:
        """ "25 tinne, 1953"; what is not identified says nothing of its working title."""
        if self.coin_type is None:
            return ""
        return f"{self.coin_type}, {self.date}" if self.date else str(self.coin_type)


@dataclass
class TypePieces:
    """The pieces of one type side by side; ``coin_type`` is None for the unidentified."""

    coin_type: CoinType | None
    pieces: list[Seen] = field(default_factory=list)


def seen(door: Door, holdings: Iterable[Holding]) -> list[Seen]:
    """What others see of these pieces; two queries."""
    holdings = list(holdings)
    captions = captions_of(door.showing, holdings)
    photos = faces_of(holdings, trimmed_only=True)
    return [
        _seen(door, holding, captions.get(holding.pk, ""), _small(door, holding, photos))
        for holding in holdings
    ]


def _seen(door: Door, holding: Holding, caption: str, picture: Picture) -> Seen:
    return Seen(
        holding.coin_type,
        holding.date_words,
        holding.grade,
        holding.grade_scale,
        caption,
        door.piece(holding.pk),
        picture,
    )


def captions_of(showing: Showing, holdings: Iterable[Holding]) -> dict[int, str]:
    rows = ShownPiece.objects.filter(showing=showing, holding__in=[h.pk for h in holdings])
    return dict(rows.values_list("holding", "caption"))


def _small(door: Door, holding: Holding, photos: dict[int, dict[str, Photo]]) -> Picture:
    """The picture for the plate: the reverse of the piece, else the obverse, else its type's."""
    own = photos.get(holding.pk, {})
    photo = own.get("reverse") or own.get("obverse")
    if photo is not None:
        return Picture(photo.side, door.photo(photo, "small"), own=True)
    return _of_type(door, holding.coin_type, "", "small")


def _of_type(door: Door, coin_type: CoinType | None, side: str, size: str) -> Picture:
    face = pictured_face(coin_type, side) if coin_type is not None else None
    if coin_type is None or face is None:
        return Picture(side)
    return Picture(face.side, door.face(coin_type, face, size))


def rows_of(pieces: Iterable[Seen]) -> list[TypePieces]:
    """One row a type, in the order in which the types first come."""
    rows: dict[int | None, TypePieces] = {}
    for piece in pieces:
        pk = piece.coin_type.pk if piece.coin_type is not None else None
        rows.setdefault(pk, TypePieces(piece.coin_type)).pieces.append(piece)
    return list(rows.values())


def scale_of(rows: Iterable[TypePieces]) -> float:
    """Pixels to the millimetre, one for the whole plate, so that its largest coin fits."""
    widths = [width_mm(row.coin_type) for row in rows if row.coin_type is not None]
    return round(min(SCALE, LARGEST_PX / max(widths)), 3) if widths else SCALE


def enlarged(door: Door, holding: Holding) -> tuple[Seen, list[Picture]]:
    """One piece and both its sides, large; photographs of anything but a side stay away."""
    photos = faces_of([holding]).get(holding.pk, {})
    pictures = []
    for side in SIDES:
        photo = photos.get(side)
        if photo is None:
            pictures.append(Picture(side, _of_type(door, holding.coin_type, side, "large").address))
        else:
            address = door.photo(photo, "large")
            size = (photo.width, photo.height)
            pictures.append(Picture(side, address, True, photo.trimmed, *size))
    caption = captions_of(door.showing, [holding]).get(holding.pk, "")
    return _seen(door, holding, caption, pictures[1]), pictures
