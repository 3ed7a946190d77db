"""Plan how the coins and cards of a talk lie in a case, tray by tray, drawn to scale.

Units (the coins of a stop beside each other, its card beneath) fill a tray row by row; the coins
of a row have their middles on one line, its cards begin on another. What does not fit goes into
the next tray; a unit too large for an empty tray lies in none, and that is said. Lengths in mm
of the case; on paper they are multiplied by the scale, the largest of ``SCALES`` at which a tray
fits the page. The gaps were chosen by trial, no source.

>>> units = [Unit(n, "", (24.25, 24.25), (70.0, 30.0)) for n in range(1, 8)]
>>> filled = fill(units, Inner(width=320, depth=160))
>>> [[placed.unit.number for placed in tray] for tray in filled.trays], filled.left_out
([[1, 2, 3, 4, 5, 6], [7]], ())
>>> scale_for(Inner(600, 400), PAPERS["A4"].turned())
0.4
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.printing import words as sheet_words
from catalogue.printing.furniture import Filling, Margins, foot, one_line
from catalogue.printing.geometry import PAPERS, Box, Circle, Page, Paper, SheetProblem, Text
from catalogue.printing.lettering import Lettering, text_width
from catalogue.talks.handing_out import words

SCALES = (1.0, 0.5, 0.4, 0.25, 0.2, 0.125, 0.1, 0.05, 0.04, 0.025, 0.02)
MARGINS = Margins(left=15, right=15, top=12, bottom=18)
HEAD = 19.0  # of a page, above its tray
WALL, BETWEEN, COINS_APART, CARD_GAP = 8.0, 10.0, 4.0, 5.0  # mm of the case
TAG = (12.0, 8.0)
"""Width and height, mm, of a card with a number alone."""

TITLE = Lettering("title", "serif", 18, weight=600, leading=1.2)
SUBTITLE = Lettering("subtitle", "sans", 9, colour="muted")
NUMBER = Lettering("plan-number", "sans", 8, weight=600, align="center")
NAME = Lettering("plan-name", "sans", 6.5, align="center", colour="muted")


@dataclass(frozen=True)
class Inner:
    """The inner size of a tray seen from above, mm."""

    width: float
    depth: float


@dataclass(frozen=True)
class Unit:
    """What lies together: the number of a stop, its name, the widths of its coins, its card."""

    number: int
    name: str
    coins: tuple[float, ...]
    card: tuple[float, float]
    keys: tuple[str, ...] = ()

    @property
    def coins_width(self) -> float:
        return sum(self.coins) + COINS_APART * max(0, len(self.coins) - 1)

    @property
    def width(self) -> float:
        return max(self.coins_width, self.card[0])

    @property
    def high(self) -> float:
        """The room of its coins downwards, with the gap before the card."""
        return max(self.coins) + CARD_GAP if self.coins else 0.0


@dataclass(frozen=True)
class Placed:
    """A unit in its tray: its left edge, the middle line of its coins, the top of its card."""

    unit: Unit
    x: float
    middle: float
    card_top: float


@dataclass(frozen=True)
class Filled:
    """Trays with what lies in each, and what fits none."""

    trays: tuple[tuple[Placed, ...], ...]
    left_out: tuple[Unit, ...] = ()


def fill(units: Sequence[Unit], inner: Inner) -> Filled:
    """Fill trays row by row, in the order of the units."""
    room, deep = inner.width - 2 * WALL, inner.depth - 2 * WALL
    left_out = tuple(u for u in units if u.width > room or u.high + u.card[1] > deep)
    rows: list[list[Unit]] = []
    for unit in (unit for unit in units if unit not in left_out):
        taken = sum(u.width + BETWEEN for u in rows[-1]) if rows else 0.0
        together = [*rows[-1], unit] if rows else [unit]
        if rows and taken + unit.width <= room + 1e-6 and _depth(together) <= deep + 1e-6:
            rows[-1].append(unit)
        else:
            rows.append([unit])
    trays: list[list[Placed]] = []
    y = deep + 1.0
    for row in rows:
        if y + _depth(row) > deep + 1e-6:
            trays.append([])
            y = 0.0
        trays[-1] += _placed(row, y + WALL, room)
        y += _depth(row) + BETWEEN
    return Filled(tuple(map(tuple, trays)), left_out)


def _depth(row: Sequence[Unit]) -> float:
    return max(unit.high for unit in row) + max(unit.card[1] for unit in row)


def _placed(row: Sequence[Unit], top: float, room: float) -> list[Placed]:
    """A row in the middle of its tray."""
    high = max(unit.high for unit in row)
    middle = top + (high - CARD_GAP) / 2
    used = sum(unit.width for unit in row) + BETWEEN * (len(row) - 1)
    x = WALL + (room - used) / 2
    placed = []
    for unit in row:
        placed.append(Placed(unit, x, middle, top + high))
        x += unit.width + BETWEEN
    return placed


def scale_for(inner: Inner, paper: Paper) -> float:
    """The largest scale at which a tray fits a page; SheetProblem where none does."""
    wide = paper.width - MARGINS.left - MARGINS.right
    high = paper.height - MARGINS.top - MARGINS.bottom - HEAD
    for scale in SCALES:
        if inner.width * scale <= wide and inner.depth * scale <= high:
            return scale
    raise SheetProblem(words.large_case(inner.width, inner.depth, paper.name))


def paper_for(inner: Inner, paper: Paper) -> Paper:
    """The paper upright or turned, whichever shows a tray larger."""
    turned = paper.turned()
    if inner.width <= inner.depth:
        return paper
    return turned if scale_for(inner, turned) >= scale_for(inner, paper) else paper


def lay_case(
    title: str, units: Sequence[Unit], inner: Inner, paper: Paper = PAPERS["A4"], trays: int = 0
) -> tuple[Page, ...]:
    """A page for each tray. ``trays``: how many there are, 0 where that is not said."""
    paper = paper_for(inner, paper)
    scale = scale_for(inner, paper)
    filled = fill(units, inner)
    if not filled.trays:
        raise SheetProblem(words.empty_case(inner.width, inner.depth))
    pages = []
    for number, tray in enumerate(filled.trays, 1):
        first, last = tray[0].unit.number, tray[-1].unit.number
        said = [words.tray_size(inner.width, inner.depth), sheet_words.drawn_at(scale)]
        if number == 1 and filled.left_out:
            said.append(words.without_stops([unit.number for unit in filled.left_out]))
        if trays and number > trays:
            said.append(words.no_tray(trays))
        tray_of = words.tray_of(number, len(filled.trays), first, last)
        sheet = _headed(title, tray_of, " · ".join(said), paper, "h1" if number == 1 else "p")
        _draw(sheet.page, tray, inner, scale)
        pages.append(sheet.page)
    for number, page in enumerate(pages, 1):
        page.number, page.total = number, len(pages)
        foot(page, MARGINS)
    return tuple(pages)


def _headed(title: str, tray_of: str, said: str, paper: Paper, tag: str) -> Filling:
    """A page with its title and two lines below it."""
    sheet = Filling(paper, MARGINS)
    title = one_line(title, TITLE, sheet.width)
    sheet.y += sheet.put("title", sheet.left, sheet.y, sheet.width, title, TITLE, tag) + 0.8
    sheet.y += sheet.put("tray", sheet.left, sheet.y, sheet.width, tray_of, SUBTITLE, "h2")
    sheet.put("scale", sheet.left, sheet.y, sheet.width, said, SUBTITLE)
    return sheet


def _draw(page: Page, tray: Sequence[Placed], inner: Inner, scale: float) -> None:
    wide, deep = inner.width * scale, inner.depth * scale
    left, top = (page.paper.width - wide) / 2, MARGINS.top + HEAD
    page.boxes.append(Box("tray", left, top, wide, deep, "held"))
    for placed in tray:
        unit = placed.unit
        x, width = left + placed.x * scale, unit.width * scale
        cx = x + (unit.width - unit.coins_width) / 2 * scale
        for key, coin in zip(unit.keys or ("",) * len(unit.coins), unit.coins, strict=True):
            r = coin * scale / 2
            page.circles.append(Circle(key, cx + r, top + placed.middle * scale, r))
            cx += (coin + COINS_APART) * scale
        card_x = x + (unit.width - unit.card[0]) / 2 * scale
        y, high = top + placed.card_top * scale, unit.card[1] * scale
        page.boxes.append(Box("card", card_x, y, unit.card[0] * scale, high))
        _name(page, unit, card_x, y, unit.card[0] * scale, high, width)


def _name(
    page: Page, unit: Unit, x: float, y: float, wide: float, high: float, room: float
) -> None:
    """The number of a card in its middle, and its name where there is room for it."""
    name = unit.name
    named = text_width(name, NAME) <= wide - 2 and high >= NUMBER.line_height + NAME.line_height
    down = NUMBER.line_height + (NAME.line_height if named else 0.0)
    at = y + (high - down) / 2
    middle, least = x + wide / 2, max(wide, room, 6.0)
    page.texts.append(Text("number", middle - least / 2, at, least, (str(unit.number),), NUMBER))
    if named:
        page.texts.append(Text("name", x, at + NUMBER.line_height, wide, (name,), NAME))


def said_of(filled: Filled, trays: int) -> list[str]:
    """What should be known before the plan is drawn: what fits no tray, and too few trays."""
    said = [
        words.fits_no_tray(
            unit.number, unit.name, unit.width + 2 * WALL, unit.high + unit.card[1] + 2 * WALL
        )
        for unit in filled.left_out
    ]
    if trays and len(filled.trays) > trays:
        first = filled.trays[trays][0].unit.number
        said.append(words.too_few_trays(len(filled.trays), trays, first))
    return said
