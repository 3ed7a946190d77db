"""Where pages break, so that none is left with next to nothing on it.

What is computed: how blocks that stand below each other (lines of pockets, rows of a ladder) are
shared out over pages. As few pages as there can be; among those ways the one with the fewest
pages that hold a lone thing, then the fewest that hold one block alone, then the one that fills
the earlier pages best. Found by dynamic programming over the breaks, as the lines of a paragraph
are by Knuth and Plass, "Breaking Paragraphs into Lines", 1981. Lengths in mm.

>>> line = Block(30, 30, gap=4, size=4)
>>> page_breaks([line, line, line, Block(30, 30, gap=4, size=1)], first=105, room=105)
[0, 2]
>>> page_breaks([line, line, line], first=20, room=105)  # none fits the first page
[0, 0]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

TOLERANCE = 1e-6
Cost = tuple[int, int, int, float]


@dataclass(frozen=True)
class Block:
    """Something that is not broken: its height after other blocks, and on top of a page.

    ``gap`` lies between it and a block before it; ``size`` is how many things it holds.
    """

    height: float
    opening: float
    gap: float = 0.0
    size: int = 1


def page_breaks(blocks: Sequence[Block], first: float, room: float) -> list[int]:
    """The first block of each page; a first page that holds none has the number of the second.

    ``first`` is the room on the first page, ``room`` that on each later one. A block higher than
    a page has one to itself.
    """
    if not blocks:
        return [0]
    apart = blocks[0].opening > first + TOLERANCE
    sizes = list(accumulate((block.size for block in blocks), initial=0))
    best: list[tuple[Cost, int]] = [((0, 0, 0, 0.0), 0)]
    for end in range(1, len(blocks) + 1):
        best.append(_best(blocks, end, best, sizes, room if apart else first, room))
    starts: list[int] = []
    end = len(blocks)
    while end:
        end = best[end][1]
        starts.insert(0, end)
    return [0, *starts] if apart else starts


def _best(
    blocks: Sequence[Block],
    end: int,
    best: Sequence[tuple[Cost, int]],
    sizes: Sequence[int],
    first: float,
    room: float,
) -> tuple[Cost, int]:
    """The least cost of all pages up to a break, and where the last of them begins."""
    found: list[tuple[Cost, int]] = []
    below = 0.0
    for start in range(end - 1, -1, -1):
        here = first if start == 0 else room
        free = here - blocks[start].opening - below
        if free >= -TOLERANCE or start == end - 1:
            whole = start == 0 and end == len(blocks)
            lone = sizes[end] - sizes[start] <= 1 and not whole
            single = end - start == 1 and not whole
            rough = free**2 if end < len(blocks) else 0.0
            pages, lones, singles, spread = best[start][0]
            found.append(((pages + 1, lones + lone, singles + single, spread + rough), start))
        below += blocks[start].gap + blocks[start].height
        if below > room + TOLERANCE:
            break
    return min(found)
