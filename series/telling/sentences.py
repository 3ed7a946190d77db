"""What a speaker says at a stop: sentences, each with what it was made from.

What is computed: nothing yet but how a sentence is kept and found again. A sentence cites the
fields of the records it was made from, as dotted paths ("denomination.name", "before.diameter_mm",
"faces.reverse.motifs"); if none of them changes, the sentence is made the same again.

>>> said = Sentence("metal", "Again copper-nickel.", ("metal", "before.metal"))
>>> Sentence.kept(said.plain()) == said
True
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any


@dataclass(frozen=True)
class Spot:
    """A place on a face: hours by the clock, and how far from the middle (0) to the rim (100)."""

    side: str
    clock: Decimal
    radius: int = 80


@dataclass(frozen=True)
class Sentence:
    """``key`` says what it is about and is had once at a stop; ``cites`` the fields it rests on.

    ``spot`` is where the listener should look; ``brief``: what it says in a few words for the
    wall ("smaller by two and a half millimetres"), "" where it is for the ear alone.
    """

    key: str
    text: str
    cites: tuple[str, ...] = ()
    brief: str = ""
    spot: Spot | None = None

    def plain(self) -> dict[str, Any]:
        """As plain values that JSON keeps."""
        spot = self.spot
        kept = {"side": spot.side, "clock": str(spot.clock), "radius": spot.radius} if spot else {}
        return {
            "key": self.key,
            "text": self.text,
            "cites": list(self.cites),
            "brief": self.brief,
            "spot": kept,
        }

    @classmethod
    def kept(cls, plain: Mapping[str, Any]) -> Sentence:
        """A sentence from its plain values."""
        spot = plain.get("spot") or None
        return cls(
            plain["key"],
            plain["text"],
            tuple(plain.get("cites", ())),
            plain.get("brief", ""),
            Spot(spot["side"], Decimal(spot["clock"]), spot["radius"]) if spot else None,
        )
