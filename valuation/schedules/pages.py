"""Divide the rows of a money table into pages, with subtotals carried forward.

Computed: which rows stand on which page, and the amount brought forward to it and carried forward
from it. Heights are in mm. Rows are set in their order and never split; a row taller than a page
has a page of its own. The space for the lines "brought forward" and "carried forward" is the
caller's to take off beforehand.

>>> pages = divide([PageRow(Decimal(n), 20.0) for n in (5, 7, 11)], first=40.0, rest=60.0)
>>> [(len(p.rows), p.brought, p.carried) for p in pages]
[(2, None, Decimal('12')), (1, Decimal('12'), None)]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any


@dataclass(frozen=True)
class PageRow:
    """One line of the table: its amount, its height in mm, and whatever is to be shown."""

    amount: Decimal
    height: float
    shown: Any = None


@dataclass(frozen=True)
class Page:
    """Rows of one page; None is carried from the last page, and none brought to the first."""

    number: int
    rows: tuple[PageRow, ...]
    brought: Decimal | None
    carried: Decimal | None


def divide(rows: Sequence[PageRow], first: float, rest: float) -> list[Page]:
    """Fill pages in order: ``first`` mm for rows on the first page, ``rest`` on the others."""
    filled: list[list[PageRow]] = [[]]
    left = first
    for row in rows:
        if row.height > left and (filled[-1] or (len(filled) == 1 and row.height <= rest)):
            filled.append([])
            left = rest
        filled[-1].append(row)
        left -= row.height
    pages: list[Page] = []
    so_far = Decimal(0)
    for number, page_rows in enumerate(filled):
        brought = None if number == 0 else so_far
        so_far += sum((row.amount for row in page_rows), Decimal(0))
        carried = None if number == len(filled) - 1 else so_far
        pages.append(Page(number, tuple(page_rows), brought, carried))
    return pages
