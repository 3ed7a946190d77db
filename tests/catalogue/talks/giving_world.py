"""A talk of two coins with pictures, an opening page, a missing type and a line of text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PIL import Image

from catalogue.models import Member, Photo, Stop, Talk
from series.models import CoinType, Face
from series.picture.pictures import keep_image
from tests.conftest import Coinage

SAID = "whatthespeakersays"
LOOK = "Look at three o'clock: a small D."


@dataclass
class Given:
    talk: Talk
    opening: Stop
    first: Stop
    second: Stop
    missing: Stop
    text: Stop
    photo: Photo
    missing_type: CoinType


def picture(size: int = 40, colour: str = "#a08050") -> str:
    return keep_image(Image.new("RGB", (size, size), colour)).digest


def give(owner: Member, coinage: Coinage, make_holding: Any) -> Given:
    """``first`` has a photograph of its obverse, ``second`` is kept to its owner."""
    talk = Talk.objects.create(owner=owner, title="From the quay", given_by="Ana", minutes=10)
    Face.objects.filter(coin_type=coinage.type).update(picture=picture(60), description="A net.")
    other_type = CoinType.objects.create(
        key="testland-first-50",
        series=coinage.series,
        denomination=coinage.denomination,
        diameter_mm="30",
        metal="brass",
    )
    first = make_holding(issue=coinage.issues[0], visibility="club")
    second = make_holding(issue=coinage.issues[1], visibility="private")
    photo = Photo.objects.create(
        holding=first, side="obverse", digest=picture(), width=40, height=40, trimmed=True
    )
    rows: list[dict[str, Any]] = [
        {"kind": "series", "series": coinage.series, "notes": f"{SAID} at first."},
        {
            "kind": "piece",
            "holding": first,
            "notes": f"{SAID} of it. {LOOK}",
            "caption": "Found in a drawer.",
            "light_side": "reverse",
            "light_clock": "3",
        },
        {"kind": "piece", "holding": second, "notes": SAID, "shown": False},
        {"kind": "type", "coin_type": other_type, "notes": SAID},
        {"kind": "text", "heading": "What came after", "caption": "Nothing."},
    ]
    stops = [Stop.objects.create(talk=talk, position=at, **row) for at, row in enumerate(rows)]
    return Given(talk, *stops, photo, other_type)
