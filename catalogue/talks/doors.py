"""Where the pictures of a talk are had: by its owner, or behind its secret link."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from django.urls import reverse

from catalogue.models import Photo
from series.models import CoinType, Face
from series.picture.pictures import FULL


class Door(Protocol):
    """A way to a talk. ``own``: it is its owner's, who alone is shown every stop and the notes.

    ``photo`` and ``face`` give what stands as the address of a picture, as large as it is stored.
    """

    @property
    def own(self) -> bool: ...

    def photo(self, photo: Photo) -> str: ...

    def face(self, coin_type: CoinType, face: Face) -> str: ...


@dataclass(frozen=True)
class OwnDoor:
    """The pages of the talk's owner."""

    size: str = FULL
    own: bool = True

    def photo(self, photo: Photo) -> str:
        return reverse("photo", args=[photo.pk, self.size])

    def face(self, coin_type: CoinType, face: Face) -> str:
        address = reverse("face-picture", args=[coin_type.key, face.side, self.size])
        return f"{address}?v={face.picture[:12]}"


@dataclass(frozen=True)
class SecretDoor:
    """Behind the secret link, whose token the addresses hold."""

    token: str
    own: bool = False

    def photo(self, photo: Photo) -> str:
        return reverse("shown-talk-photo", args=[self.token, photo.pk])

    def face(self, coin_type: CoinType, face: Face) -> str:
        return reverse("shown-talk-face", args=[self.token, coin_type.key, face.side])


@dataclass(frozen=True)
class PaperDoor:
    """What is printed true to scale: a picture's address is its digest, by which it is stored.

    A photograph of a coin that is not trimmed to its edge is left aside for the type's picture.
    """

    own: bool = True

    def photo(self, photo: Photo) -> str:
        return str(photo.digest)

    def face(self, coin_type: CoinType, face: Face) -> str:
        return str(face.picture)
