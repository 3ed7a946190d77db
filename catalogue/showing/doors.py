"""The three ways to a page for others: its secret link, its open address, its owner's preview."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from catalogue.models import Photo, Showing
from series.models import CoinType, Face


@dataclass(frozen=True)
class Door:
    """A page and the addresses of what belongs to it, as they are behind this door."""

    showing: Showing
    name: str
    part: Any

    @property
    def preview(self) -> bool:
        return self.name == "showing-preview"

    @property
    def page(self) -> str:
        return reverse(self.name, args=[self.part])

    def piece(self, holding_id: int) -> str:
        return reverse(f"{self.name}-piece", args=[self.part, holding_id])

    def photo(self, photo: Photo, size: str) -> str:
        if self.preview:
            return reverse("photo", args=[photo.pk, size])
        return reverse(f"{self.name}-photo", args=[self.part, photo.pk, size])

    def face(self, coin_type: CoinType, face: Face, size: str) -> str:
        named = [coin_type.key, face.side, size]
        if self.preview:
            return reverse("face-picture", args=named)
        return reverse(f"{self.name}-face", args=[self.part, *named])


def secret_door(showing: Showing, token: str) -> Door:
    return Door(showing, "shown", token)


def open_door(showing: Showing) -> Door:
    return Door(showing, "open-showing", showing.pk)


def preview_door(showing: Showing) -> Door:
    return Door(showing, "showing-preview", showing.pk)
