"""The grid of an album page: how many columns, and which pockets stand in which line.

What is computed: all rows of a part share one grid, so that pockets stand below each other from
row to row. The number of columns is the one that makes the part least high; of equal ones the one
in which the fewest rows need two columns for a pocket, then the one with the most columns. A row
whose pockets are wider than a column takes so many columns for each. A row that needs several
lines never leaves one pocket alone on the last: then its lines are as even as can be (where two
or more pockets fit a line and an odd number of them does not leave one by itself).

>>> grid = grid_of([(24.0, 14, 40.0), (34.0, 2, 50.0)], room=141, gap=4)
>>> grid.columns, grid.columns_of(24), grid.columns_of(34)
(5, 1, 2)
>>> round(grid.centre(0, 1), 1), round(grid.centre(0, 2), 1)  # mm from the left of the grid
(12.5, 27.0)
>>> line_sizes(11, 5), line_sizes(12, 5), line_sizes(6, 5)
([4, 4, 3], [5, 5, 2], [3, 3])
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

TOLERANCE = 1e-9


@dataclass(frozen=True)
class Grid:
    """Columns of equal width over a room, ``gap`` between two, all in mm."""

    columns: int
    room: float
    gap: float

    @property
    def pitch(self) -> float:
        return (self.room + self.gap) / self.columns

    def columns_of(self, width: float) -> int:
        """How many columns something of a width takes."""
        return max(1, math.ceil((width + self.gap) / self.pitch - TOLERANCE))

    def per_line(self, width: float) -> int:
        return max(1, self.columns // self.columns_of(width))

    def width(self, columns: int) -> float:
        """The width of so many columns without the gap after them."""
        return columns * self.pitch - self.gap

    def centre(self, number: int, columns: int) -> float:
        """The middle of the pocket with a number in a line of pockets of so many columns."""
        return (number + 0.5) * columns * self.pitch - self.gap / 2


def grid_of(rows: Sequence[tuple[float, int, float]], room: float, gap: float) -> Grid:
    """The grid for rows: each the width of its pockets, their number, and a line's height."""
    narrowest = min((width for width, _count, _height in rows), default=room)
    most = max(1, int((room + gap) / (narrowest + gap) + TOLERANCE))
    grids = [Grid(columns, room, gap) for columns in range(most, 0, -1)]

    def cost(grid: Grid) -> tuple[float, int]:
        height = sum(
            math.ceil(count / grid.per_line(width)) * height for width, count, height in rows
        )
        return height, sum(grid.columns_of(width) > 1 for width, _count, _height in rows)

    return min(grids, key=cost)


def line_sizes(count: int, most: int) -> list[int]:
    """How many pockets stand in each line of a row."""
    lines = math.ceil(count / most)
    if count % most != 1 or lines < 2:
        return [most] * (count // most) + [count % most] * bool(count % most)
    fewest, more = divmod(count, lines)
    return [fewest + 1] * more + [fewest] * (lines - more)
