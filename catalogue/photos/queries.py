"""Reads of photographs that pages, sheets and exports share."""

from __future__ import annotations

from collections.abc import Iterable

from catalogue.models import Holding, Photo

FacePhotos = dict[int, dict[str, Photo]]


def faces_of(holdings: Iterable[Holding], trimmed_only: bool = False) -> FacePhotos:
    """The first photograph of each side, by holding id; one query for all."""
    photos = Photo.objects.filter(holding__in=[holding.pk for holding in holdings])
    if trimmed_only:
        photos = photos.filter(trimmed=True)
    found: FacePhotos = {}
    for photo in photos.order_by("position", "pk"):
        found.setdefault(photo.holding_id, {}).setdefault(photo.side, photo)
    return found
