"""Reads of photographs that pages, sheets and exports share."""

from __future__ import annotations

from collections.abc import Iterable

from catalogue.models import Holding, Photo

FaceDigests = dict[int, dict[str, str]]


def faces_of(holdings: Iterable[Holding], trimmed_only: bool = False) -> FaceDigests:
    """The first photograph's digest of each side, by holding id; one query for all."""
    photos = Photo.objects.filter(holding__in=[holding.pk for holding in holdings])
    if trimmed_only:
        photos = photos.filter(trimmed=True)
    found: FaceDigests = {}
    for photo in photos.order_by("holding", "position", "pk").only("holding_id", "side", "digest"):
        found.setdefault(photo.holding_id, {}).setdefault(photo.side, photo.digest)
    return found
