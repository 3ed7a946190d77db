"""A talk as it is given: plain values from which the wall, the speaker's page, the file of its
own, the hand-out and the captions are all made.

What is computed: nothing but the plain form of a talk (lengths mm, times s). What listeners see is
``ShownStop`` without ``notes`` and ``seconds``; nothing private of a piece (place, price, worth,
accession number, provenance) has a field here.

>>> coin = ShownStop(0, "piece", "25 tinne, 1953", faces=(ShownFace("reverse", "Reverse", 23.5),))
>>> talk = ShownTalk("First Marl", stops=(coin,))
>>> talk.widest_mm, "notes" in talk.plain(notes=False)["stops"][0]
(23.5, False)
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

from series.picture.drawing import Drawn


@dataclass(frozen=True)
class ShownFace:
    """One face: the address of its picture, as wide as it is stored, or an SVG drawn instead.

    ``width_mm`` is the width of the coin, ``outline`` and ``sides`` its shape; ``svg`` a drawing
    whose unit is the millimetre, its middle at (0, 0); ``px`` the picture's width, 0 for a drawing;
    ``trimmed``: the picture ends at the coin's edge, so that it can be drawn to scale. ``shape`` is
    what paper draws the coin from: its outline, hole and metal; None where no coin is shown.
    """

    side: str
    alt: str
    width_mm: float
    src: str = ""
    svg: str = ""
    px: int = 0
    trimmed: bool = True
    outline: str = "round"
    sides: int = 0
    shape: Drawn | None = None


@dataclass(frozen=True)
class Light:
    """A place to look at: side, hours by the clock, per cent from the middle, what is there."""

    side: str
    clock: float
    radius: int = 80
    words: str = ""


@dataclass(frozen=True)
class ShownStop:
    """One stop. ``where`` is (country, currency, series with years), ``under`` the line beneath the
    heading, ``changed`` what is new since ``before`` (a stop's number from 0, None for none).

    ``notes`` are paragraphs for the speaker; ``seconds`` what they and the looking take. ``held``
    is False for a type that is missing. ``chapter``: an opening page.
    """

    number: int
    kind: str
    heading: str
    caption: str = ""
    where: tuple[str, ...] = ()
    under: str = ""
    changed: str = ""
    before: int | None = None
    held: bool = True
    chapter: bool = False
    lines: tuple[str, ...] = ()
    faces: tuple[ShownFace, ...] = ()
    lights: tuple[Light, ...] = ()
    notes: tuple[str, ...] = ()
    seconds: int = 0


@dataclass(frozen=True)
class ShownTalk:
    """A whole talk; ``minutes`` 0 where no time was set, ``pace`` in words a minute."""

    title: str
    given_by: str = ""
    hall: str = "dark"
    minutes: int = 0
    pace: int = 0
    stops: tuple[ShownStop, ...] = field(default=())

    @property
    def widest_mm(self) -> float:
        """The widest coin of the talk, which sets its one scale; 0 without any."""
        return max((f.width_mm for s in self.stops for f in s.faces), default=0.0)

    def plain(self, notes: bool) -> dict[str, Any]:
        """As JSON takes it; without ``notes`` for whoever listens."""
        kept = {**asdict(self), "widest_mm": self.widest_mm}
        if not notes:
            for stop in kept["stops"]:
                del stop["notes"], stop["seconds"]
            del kept["minutes"], kept["pace"]
        return kept
