"""Lay out the cards that lie with the coins of an exhibition, numbered to the stops of a talk.

All cards of a sheet have one size of type and one width: as wide as a line of at most 55
characters needs, or as the paper allows. Cards of one row are cut to one height, so that a
guillotine can follow the marks at the edges of the paper. A card too high for the paper goes on
on another, which says so; nothing is cut off. What breaks the guidelines is told of each stop
(:mod:`catalogue.talks.handing_out.card_type`, which names its source).

Lengths in mm, type in points.

>>> stop = ShownStop(13, "piece", "25 tinne, 1970", caption="A net became three ears of wheat.")
>>> sheet = lay_cards(ShownTalk("First Marl", stops=(stop,)), size=14)
>>> len(sheet.pages), sheet.remarks, sheet.cards[0].number
(1, (), 14)
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from catalogue.printing.furniture import Margins, foot
from catalogue.printing.geometry import PAPERS, Line, Page, Paper, SheetProblem, Text
from catalogue.printing.lettering import (
    MM_PER_POINT,
    Lettering,
    longest_word,
    text_width,
    wrap,
)
from catalogue.talks.handing_out import words
from catalogue.talks.handing_out.card_type import (
    CARD,
    LABEL_MOST,
    LINE_LEAST,
    LINE_MOST,
    SENTENCE_MOST,
    longest_sentence,
    words_in,
)
from catalogue.talks.shown import ShownStop, ShownTalk

MARGINS = Margins(left=12, right=12, top=12, bottom=20)
MARK = 5.0  # length of a cut mark, mm
APART = 1.5  # from a mark to the cards
LARGER = 1.25  # heading to text
PADDING = 1.1  # of a card, in ems of its text
LEAST_MEASURE = 8.0  # ems of a line: a narrower one holds two words


@dataclass(frozen=True)
class Remark:
    """What breaks the guidelines at a stop; its number counts from 1."""

    number: int
    heading: str
    said: tuple[str, ...]


@dataclass(frozen=True)
class Card:
    """A card as it is cut: the number of its stop, its heading, its size."""

    number: int
    heading: str
    width: float
    height: float


@dataclass(frozen=True)
class CardSheet:
    """Pages of cards, each card, and what is to be said before they are printed."""

    pages: tuple[Page, ...]
    cards: tuple[Card, ...]
    remarks: tuple[Remark, ...] = ()
    narrow: int = 0
    """Characters of the longest line, where the paper allows too few of them; else 0."""


@dataclass(frozen=True)
class _Line:
    """A line of a card and the gap above it."""

    text: str
    how: Lettering
    gap: float = 0.0


@dataclass(frozen=True)
class _Laid:
    """The lines of one card, and how high it is."""

    stop: ShownStop
    lines: tuple[_Line, ...]
    height: float
    continued: bool = False


def lay_cards(talk: ShownTalk, size: float, paper: Paper = PAPERS["A4"]) -> CardSheet:
    """The cards of all stops in type of ``size`` points, the paper turned where that takes less.

    Raises SheetProblem where the paper is too narrow for any line of that size.
    """
    style = _Style(size, len(talk.stops))
    narrowest: SheetProblem | None = None
    sheets = []
    for way in (paper, paper.turned()):
        try:
            sheets.append(_lay(talk, style, way))
        except SheetProblem as problem:
            narrowest = problem
    if not sheets and narrowest is not None:
        raise narrowest
    return min(sheets, key=lambda sheet: (bool(sheet.narrow), len(sheet.pages)))


def _lay(talk: ShownTalk, style: _Style, paper: Paper) -> CardSheet:
    measure, narrow = style.measure(talk, paper)
    room = paper.height - MARGINS.top - MARGINS.bottom
    laid: list[_Laid] = []
    remarks = []
    for stop in talk.stops:
        parts = list(style.laid(stop, measure, room))
        laid += parts
        said = [*_breaches(stop), *([words.goes_on(len(parts))] if len(parts) > 1 else [])]
        if said:
            remarks.append(Remark(stop.number + 1, stop.heading, tuple(said)))
    pages, cards = _pages(laid, style, measure, paper)
    return CardSheet(pages, cards, tuple(remarks), narrow)


def texts_of(stop: ShownStop) -> tuple[str, ...]:
    """What stands on the card of a stop, the heading first."""
    said = (stop.heading, stop.under, stop.changed, *stop.lines, stop.caption)
    return tuple(text for text in said if text)


def _breaches(stop: ShownStop) -> Iterator[str]:
    texts = texts_of(stop)
    longest = longest_sentence(texts)
    if longest > SENTENCE_MOST:
        yield words.long_sentence(longest, SENTENCE_MOST)
    total = sum(map(words_in, texts))
    if total > LABEL_MOST:
        yield words.long_label(total, LABEL_MOST)


class _Style:
    """The letterings of one size, and the blank round them."""

    def __init__(self, size: float, stops: int) -> None:
        self.size = size
        self.text = replace(CARD, size=size)
        self.under = replace(CARD, name="card-under", size=size, colour="muted")
        self.changed = Lettering("card-changed", "serif", size, italic=True, colour="accent")
        self.heading = Lettering("card-heading", "serif", size * LARGER, leading=1.2, weight=600)
        self.number = Lettering("card-number", "serif", size * LARGER, leading=1.2,
                                weight=600, colour="accent")  # fmt: skip
        self.em = size * MM_PER_POINT
        self.padding = PADDING * self.em
        self.aside = text_width("8" * len(str(stops)), self.number) + 0.5 * self.em

    def around(self) -> float:
        """What of a card's width is not for its lines."""
        return self.aside + 2 * self.padding

    def measure(self, talk: ShownTalk, paper: Paper) -> tuple[float, int]:
        """The widest line, mm, with no more than 55 characters, and ``CardSheet.narrow``."""
        texts = [text for stop in talk.stops for text in texts_of(stop)[1:]]
        most = paper.width - MARGINS.left - MARGINS.right - self.around()
        if most < LEAST_MEASURE * self.em:
            raise SheetProblem(words.large_type(self.size, paper.name))
        signs = sum(map(len, texts))
        mean = sum(text_width(text, self.text) for text in texts) / signs if signs else self.em / 2
        width = min(most, 1.1 * LINE_MOST * mean)
        while (longest := self.longest(texts, width)) > LINE_MOST:
            width *= 0.98
        widest = max((longest_word(stop.heading, self.heading) for stop in talk.stops), default=0)
        narrow = (
            width == most and longest < LINE_LEAST and longest < max(map(len, texts), default=0)
        )
        return max(width, min(widest, most)), longest if narrow else 0

    def longest(self, texts: Sequence[str], width: float) -> int:
        """Characters of the longest line of texts on a measure."""
        return max(
            (len(line) for text in texts for line in wrap(text, self.text, width)), default=0
        )

    def lines(self, stop: ShownStop, measure: float) -> list[_Line]:
        kinds = [
            (stop.heading, self.heading, 0.0),
            (stop.under, self.under, 0.15),
            (stop.changed, self.changed, 0.4),
            *((text, self.text, 0.4) for text in (*stop.lines, stop.caption)),
        ]
        return [
            _Line(line, how, gap * self.em if n == 0 else 0.0)
            for text, how, gap in kinds
            if text
            for n, line in enumerate(wrap(text, how, measure))
        ]

    def laid(self, stop: ShownStop, measure: float, room: float) -> Iterator[_Laid]:
        """The card of a stop, or several where one is too high for the paper."""
        lines, blank = self.lines(stop, measure), 2 * self.padding
        continued = False
        while lines or not continued:
            head = [_Line(words.CONTINUED, self.under)] if continued else []
            height = blank + sum(line.how.line_height for line in head)
            some: list[_Line] = []
            for line in lines:
                needs = line.gap + line.how.line_height
                if some and height + needs > room:
                    break
                some.append(line)
                height += needs
            if len(some) > 1 and len(some) < len(lines) and _begins(some[-1], lines[len(some)]):
                height -= some[-1].gap + some.pop().how.line_height
            yield _Laid(stop, (*head, *some), height, continued)
            lines, continued = lines[len(some) :], True


def _begins(line: _Line, following: _Line) -> bool:
    """Whether a line is the first of a paragraph that goes on."""
    return bool(line.gap) and not following.gap and line.how == following.how


def _pages(
    laid: Sequence[_Laid], style: _Style, measure: float, paper: Paper
) -> tuple[tuple[Page, ...], tuple[Card, ...]]:
    """Rows of cards of one height, page by page."""
    width = measure + style.around()
    across = max(1, int((paper.width - MARGINS.left - MARGINS.right) / width + 1e-6))
    bottom = paper.height - MARGINS.bottom
    pages, cards = [Page(paper)], []
    y, cuts = MARGINS.top, [MARGINS.top]
    for at in range(0, len(laid), across):
        row = laid[at : at + across]
        height = max(card.height for card in row)
        if y + height > bottom + 1e-6 and len(cuts) > 1:
            _cut_marks(pages[-1], cuts, width, across)
            pages.append(Page(paper))
            y, cuts = MARGINS.top, [MARGINS.top]
        for place, card in enumerate(row):
            _card(pages[-1], card, style, MARGINS.left + place * width, y, measure)
            cards.append(Card(card.stop.number + 1, card.stop.heading, width, height))
        y += height
        cuts.append(y)
    _cut_marks(pages[-1], cuts, width, across)
    for number, page in enumerate(pages, 1):
        page.number, page.total = number, len(pages)
        foot(page, MARGINS)
    return tuple(pages), tuple(cards)


def _card(page: Page, card: _Laid, style: _Style, x: float, y: float, measure: float) -> None:
    """The number and the lines of a card whose corner is at (x, y)."""
    left, y = x + style.padding, y + style.padding
    page.texts.append(
        Text("number", left, y, style.aside, (str(card.stop.number + 1),), style.number)
    )
    for place, (how, some) in enumerate(_runs(card.lines)):
        y += some[0].gap if place else 0
        tag = "h2" if how == style.heading else "p"
        said = tuple(line.text for line in some)
        page.texts.append(Text("card", left + style.aside, y, measure, said, how, tag))
        y += len(said) * how.line_height


def _runs(lines: Sequence[_Line]) -> list[tuple[Lettering, list[_Line]]]:
    """Lines of one lettering that follow without a gap, put together."""
    runs: list[tuple[Lettering, list[_Line]]] = []
    for line in lines:
        if runs and runs[-1][0] == line.how and not line.gap:
            runs[-1][1].append(line)
        else:
            runs.append((line.how, [line]))
    return runs


def _cut_marks(page: Page, cuts: Sequence[float], width: float, across: int) -> None:
    """Marks beyond the cards, where each cut begins and ends."""
    left, right = MARGINS.left, MARGINS.left + across * width
    for y in cuts:
        page.lines.append(Line(left - APART - MARK, y, left - APART, y, "rule"))
        page.lines.append(Line(right + APART, y, right + APART + MARK, y, "rule"))
    for n in range(across + 1):
        x = left + n * width
        page.lines.append(Line(x, cuts[0] - APART - MARK, x, cuts[0] - APART, "rule"))
        page.lines.append(Line(x, cuts[-1] + APART, x, cuts[-1] + APART + MARK, "rule"))
