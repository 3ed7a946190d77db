"""Pieces on a page for others, and what a stranger reads there."""

from __future__ import annotations

from typing import Any

from django.test import Client
from PIL import Image

from catalogue.models import Holding, Photo, Showing, ShownPiece
from catalogue.showing.choosing import shown_pieces
from series.picture.pictures import keep_image

SECRETS = (
    "secretaccession",
    "secretplace",
    "secretvendor",
    "secretnote",
    "secretprovenance",
    "secretwork",
    "secretgrader",
    "secretproblem",
    "secretpaper",
    "secretborrower",
    "secretsource",
    "secrettitle",
    "secretname",
    "7654.32",
    "8765.43",
    "987.54",
    "6.5432",
)


def picked(showing: Showing, holding: Holding, **fields: Any) -> ShownPiece:
    return ShownPiece.objects.create(showing=showing, holding=holding, picked=True, **fields)


def photograph(holding: Holding, **fields: Any) -> Photo:
    kept = keep_image(Image.new("RGB", (24, 24), "#a08050"))
    return Photo.objects.create(
        holding=holding, digest=kept.digest, **({"width": 24, "height": 24} | fields)
    )


def text(address: str) -> str:
    answer = Client().get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def shown(showing: Showing) -> list[Holding]:
    return list(shown_pieces(Showing.objects.get(pk=showing.pk)))
