"""Where everything stands on a laid-out page, and what stands over something else."""

from __future__ import annotations

from catalogue.printing.geometry import Page

Sides = tuple[float, float, float, float]
TOLERANCE = 1e-6


def places(page: Page) -> list[Sides]:
    """Left, top, right and bottom of every text, circle, box and picture, in mm."""
    return [
        *((t.x, t.y, t.x + t.width, t.y + t.height) for t in page.texts),
        *((c.cx - c.r, c.cy - c.r, c.cx + c.r, c.cy + c.r) for c in page.circles),
        *((b.x, b.y, b.x + b.width, b.y + b.height) for b in page.boxes),
        *((p.x, p.y, p.x + p.size, p.y + p.size) for p in page.pictures),
    ]


def overlapping(page: Page) -> list[tuple[Sides, Sides]]:
    """Whatever shares more than an edge with something else."""
    found = []
    placed = sorted(places(page))
    for number, one in enumerate(placed):
        for other in placed[number + 1 :]:
            if other[0] >= one[2] - TOLERANCE:
                break
            left, top = max(one[0], other[0]), max(one[1], other[1])
            right, bottom = min(one[2], other[2]), min(one[3], other[3])
            if right > left + TOLERANCE and bottom > top + TOLERANCE:
                found.append((one, other))
    return found
