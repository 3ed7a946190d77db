"""Talks typed in for the papers that are made of them."""

from __future__ import annotations

from typing import Any

from catalogue.talks.shown import ShownFace, ShownStop, ShownTalk

CAPTION = (
    "A net of knotted rope over the whole field, the date beneath it. The value stands within "
    "a wreath of coral; below it the letter of the mint."
)


def piece(number: int, mm: float = 24.25, **more: Any) -> ShownStop:
    """A coin as a talk shows it; its number counts from 0."""
    faces = tuple(ShownFace(side, f"the {side}", mm) for side in ("obverse", "reverse"))
    said: dict[str, Any] = {
        "heading": f"{number} tinne, 1970",
        "under": "copper-nickel, 21 mm · struck at Saltmouth",
        "changed": "smaller by two and a half millimetres; ears of wheat where the net was",
        "caption": CAPTION,
        "faces": faces,
        "notes": ("Said to nobody but the room.",),
        "seconds": 55,
        **more,
    }
    return ShownStop(number, "piece", **said)


def opening(number: int, heading: str = "Marl, 1919–1960", lines: int = 3) -> ShownStop:
    said = "A marl was a hundred tinne; one of them bought four loaves in 1925 and two in 1950."
    return ShownStop(number, "currency", heading, chapter=True, lines=(said,) * lines)


def talk(*stops: ShownStop, title: str = "First Marl") -> ShownTalk:
    return ShownTalk(title, "Marit Sund", stops=stops)
