"""Pictures for pockets: a member's photograph trimmed to the coin, else the struck picture."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from catalogue.models import Holding
from catalogue.photos.queries import faces_of
from series.models import CoinType
from series.picture.coins import pictured_face
from series.picture.pictures import printed_picture


class Pictures:
    """The pictures of one document: each is made once, named by its digest."""

    def __init__(self) -> None:
        self.files: dict[str, bytes] = {}

    def name_of(self, digest: str) -> str:
        """The name of a stored picture in the document, or "" when the store lacks it."""
        name = f"picture-{digest[:24]}"
        if name not in self.files:
            try:
                self.files[name] = printed_picture(digest)
            except OSError:
                return ""
        return name

    def of_type(self, coin_type: CoinType | None) -> str:
        """The struck picture of a type (faces prefetched), or ""."""
        face = pictured_face(coin_type) if coin_type is not None else None
        return self.name_of(face.picture) if face is not None else ""


def names_of_pieces(
    pieces: Iterable[Holding], pictures: Pictures, progress: Callable[[int], None]
) -> dict[int, str]:
    """The picture of each piece by its id, those without one left out. One query.

    ``progress`` is told how many are done.
    """
    pieces = list(pieces)
    photos = faces_of(pieces, trimmed_only=True)
    found = {}
    for done, piece in enumerate(pieces, 1):
        sides = photos.get(piece.pk, {})
        photo = sides.get("reverse") or sides.get("obverse")
        name = pictures.name_of(photo.digest) if photo is not None else ""
        name = name or pictures.of_type(piece.coin_type)
        if name:
            found[piece.pk] = name
        progress(done)
    return found
