"""Lay out the hand-out of a talk: its stops in order, both faces at true size, room for notes.

Each stop is a row: its number, its faces in two columns as wide as the widest coin of the talk,
what it is, and ruled lines to write on. Opening pages are headings between the rows and are never
parted from the stop after them where both fit one page. A coin too wide for the columns has its
row to itself and its words beneath. Pages break so that as few as can be are needed
(:mod:`catalogue.printing.breaks`). Nothing is left out but a face wider than the paper, and the
row says so.

Lengths in mm. Lines to write on are 7 mm apart; this and the widths were chosen by trial, no
source.

>>> from catalogue.talks.shown import ShownFace
>>> faces = tuple(ShownFace(side, "", 24.25) for side in ("obverse", "reverse"))
>>> stops = tuple(ShownStop(n, "piece", f"{n} tinne", faces=faces) for n in range(30))
>>> pages = lay_handout(ShownTalk("First Marl", stops=stops), PAPERS["A4"])
>>> len(pages), {circle.r for page in pages for circle in page.circles}
(4, {12.125})
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from catalogue.printing.breaks import Block, page_breaks
from catalogue.printing.furniture import Filling, Margins
from catalogue.printing.geometry import PAPERS, Circle, Line, Page, Paper, Picture, Text
from catalogue.printing.lettering import Lettering, wrap
from catalogue.talks.handing_out import words
from catalogue.talks.handing_out.faces import Coin, coins_of, face_key, picture_of
from catalogue.talks.shown import ShownStop, ShownTalk

TITLE = Lettering("title", "serif", 22, weight=600, leading=1.2)
SUBTITLE = Lettering("subtitle", "sans", 10.5, colour="muted")
NUMBER = Lettering("number", "sans", 8, colour="muted")
CHAPTER = Lettering("chapter", "serif", 14, weight=600, leading=1.2)
WHERE = Lettering("where", "sans", 8, colour="muted")
STORY = Lettering("story", "serif", 9.5, leading=1.4)
HEADING = Lettering("heading", "serif", 11, weight=600, leading=1.2)
UNDER = Lettering("under", "sans", 8, colour="muted")
CHANGED = Lettering("changed", "serif", 8.5, italic=True, colour="accent")
CAPTION = Lettering("caption", "sans", 8.5, leading=1.28)

NUMBER_COLUMN = 7.0
WIDEST_COLUMN = 40.0  # of a column of coins
BETWEEN_FACES = 2.0
GUTTER = 4.0
TEXT_SHARE = 0.65  # of what the coins leave; the rest is for notes
STORY_WIDTH = 135.0
NOTE_LINE = 7.0
PICTURE_MOST = 34.0
ROW_GAP, CHAPTER_GAP = 4.0, 7.5
PARAGRAPH = 1.2
STORY_LINES = 30  # of one paragraph that are kept together


def lay_handout(talk: ShownTalk, paper: Paper = PAPERS["A4"]) -> tuple[Page, ...]:
    """The pages of a talk's hand-out."""
    sheet = _Handout(paper, Margins(left=14, right=14, top=12, bottom=17), talk)
    sheet.head()
    sheet.fill()
    return sheet.furnished(talk.title)


@dataclass
class _Part:
    """What is never broken: shapes whose y counts from its own top. ``opens``: a heading that
    stays with the part after it."""

    height: float = 0.0
    gap: float = ROW_GAP
    opens: bool = False
    texts: list[Text] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    circles: list[Circle] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)

    def say(self, key: str, x: float, y: float, width: float, text: str, how: Lettering,
            tag: str = "p") -> float:  # fmt: skip
        """Put a text at a height; returns where it ends."""
        if not text:
            return y
        lines = wrap(text, how, width)
        self.texts.append(Text(key, x, y, width, lines, how, tag))
        end = y + len(lines) * how.line_height
        self.height = max(self.height, end)
        return end

    def put_on(self, page: Page, y: float) -> None:
        page.texts += [replace(text, y=text.y + y) for text in self.texts]
        page.lines += [replace(line, y1=line.y1 + y, y2=line.y2 + y) for line in self.lines]
        page.circles += [replace(circle, cy=circle.cy + y) for circle in self.circles]
        page.pictures += [replace(picture, y=picture.y + y) for picture in self.pictures]


class _Handout(Filling):
    def __init__(self, paper: Paper, margins: Margins, talk: ShownTalk) -> None:
        super().__init__(paper, margins)
        self.talk = talk
        widths = [coin.width for stop in talk.stops for coin in coins_of(stop)]
        self.column = max([w for w in widths if w <= WIDEST_COLUMN], default=PICTURE_MOST / 2)
        self.faces_left = self.left + NUMBER_COLUMN
        self.text_left = self.faces_left + 2 * self.column + BETWEEN_FACES + GUTTER

    def head(self) -> None:
        talk = self.talk
        self.flow("title", talk.title, TITLE, "h1")
        said = [words.by(talk.given_by), words.stops_in(len(talk.stops))]
        if any(coins_of(stop) for stop in talk.stops):
            said.append(words.TRUE_SIZE)
        self.y += 0.8
        self.flow("subtitle", " · ".join(filter(None, said)), SUBTITLE)
        self.y += 2.5
        self.rule("strong")
        self.y += 5

    def fill(self) -> None:
        """All stops, over as few pages as they need."""
        runs = list(self.runs([part for stop in self.talk.stops for part in self.parts(stop)]))
        blocks = [Block(_height(run), _height(run), run[0].gap) for run in runs]
        starts = page_breaks(blocks, self.bottom - self.y, self.bottom - self.overleaf)
        for page, (start, end) in enumerate(zip(starts, [*starts[1:], len(runs)], strict=True)):
            if page:
                self.turn()
            for run in runs[start:end]:
                if run is not runs[start]:
                    self.y += run[0].gap
                for part in run:
                    self.y += part.gap if part is not run[0] else 0
                    part.put_on(self.page, self.y)
                    self.y += part.height

    def runs(self, parts: Sequence[_Part]) -> Iterator[list[_Part]]:
        """Parts that stay together: headings with the stop after them, if one page holds both."""
        run: list[_Part] = []
        for part in parts:
            if run and _height([*run, part]) > self.bottom - self.overleaf:
                yield run
                run = []
            run.append(part)
            if not part.opens:
                yield run
                run = []
        if run:
            yield run

    def parts(self, stop: ShownStop) -> list[_Part]:
        if stop.chapter:
            return self.chapter(stop)
        coins = coins_of(stop)
        if any(coin.width > WIDEST_COLUMN for coin in coins):
            return self.wide(stop, coins)
        return [self.row(stop, coins)]

    def chapter(self, stop: ShownStop) -> list[_Part]:
        """The heading of an opening page, and its story in paragraphs."""
        part = _Part(gap=CHAPTER_GAP, opens=True)
        self.number(stop, part, CHAPTER)
        left, width = self.faces_left, self.width - NUMBER_COLUMN
        y = part.say("chapter", left, 0, width, stop.heading, CHAPTER, "h2")
        y = part.say("where", left, y + 0.3, width, stop.under, WHERE)
        parts = [part]
        for text in filter(None, (words.run_on(stop.lines), stop.caption)):
            lines = wrap(text, STORY, min(STORY_WIDTH, width))
            for at in range(0, len(lines), STORY_LINES):
                some = _Part(gap=PARAGRAPH if at == 0 else 0, opens=True)
                said = "\n".join(lines[at : at + STORY_LINES])
                some.say("story", left, 0, min(STORY_WIDTH, width), said, STORY)
                parts.append(some)
        return parts

    def row(self, stop: ShownStop, coins: Sequence[Coin]) -> _Part:
        """Faces on the left, words beside them, lines to write on at the right."""
        part = _Part()
        for place, coin in enumerate(coins):
            self.coin(part, coin, self.faces_left + (place + 0.5) * self.column
                      + place * BETWEEN_FACES)  # fmt: skip
        self.picture(stop, part)
        notes = self.text_left + TEXT_SHARE * (self.right - self.text_left) + GUTTER
        left = self.text_left if part.height else self.faces_left
        self.number(stop, part, HEADING)
        self.words(stop, part, left, notes - GUTTER - left)
        self.notes(part, notes)
        return part

    def wide(self, stop: ShownStop, coins: Sequence[Coin]) -> list[_Part]:
        """Large faces in lines of their own, the words beneath them."""
        parts = [_Part(opens=True)]
        self.number(stop, parts[0], HEADING)
        x = self.faces_left
        for coin in coins:
            if coin.width > self.right - self.faces_left:
                parts[-1].say("caption", x, 0, self.width, words.NO_COIN, CAPTION)
                break
            if x + coin.width > self.right:
                parts.append(_Part(gap=BETWEEN_FACES, opens=True))
                x = self.faces_left
            self.coin(parts[-1], coin, x + coin.width / 2)
            x += coin.width + BETWEEN_FACES
        below = _Part(gap=2 * BETWEEN_FACES)
        width = TEXT_SHARE * (self.right - self.faces_left)
        self.words(stop, below, self.faces_left, width)
        self.notes(below, self.faces_left + width + GUTTER)
        return [*parts, below]

    def number(self, stop: ShownStop, part: _Part, beside: Lettering) -> None:
        """The number of a stop, on the line of the words beside it."""
        drop = 0.8 * (beside.line_height - NUMBER.line_height)
        part.say("number", self.left, drop, NUMBER_COLUMN, str(stop.number + 1), NUMBER)

    def coin(self, part: _Part, coin: Coin, cx: float) -> None:
        part.circles.append(Circle(coin.key, cx, coin.width / 2, coin.width / 2))
        part.height = max(part.height, coin.width)

    def picture(self, stop: ShownStop, part: _Part) -> None:
        """The picture of a stop that shows no coin."""
        face = picture_of(stop)
        if face is not None:
            size = min(PICTURE_MOST, 2 * self.column + BETWEEN_FACES)
            name = face_key(stop, face)
            part.pictures.append(Picture(name, face.alt, self.faces_left, 0, size))
            part.height = max(part.height, size)

    def words(self, stop: ShownStop, part: _Part, x: float, width: float) -> None:
        under = stop.under if stop.held else " · ".join(filter(None, (stop.under, words.NOT_HELD)))
        y = part.say("heading", x, 0, width, stop.heading, HEADING, "h3")
        y = part.say("under", x, y + 0.3, width, under, UNDER)
        y = part.say("changed", x, y + 0.8, width, stop.changed, CHANGED)
        for text in filter(None, (stop.caption, *stop.lines)):
            y = part.say("caption", x, y + 0.8, width, text, CAPTION)

    def notes(self, part: _Part, x: float) -> None:
        """Lines to write on, as many as the row is high, two at least."""
        count = max(2, int(part.height / NOTE_LINE + 0.15))
        for n in range(1, count + 1):
            part.lines.append(Line(x, n * NOTE_LINE, self.right, n * NOTE_LINE))
        part.height = max(part.height, count * NOTE_LINE)


def _height(run: Sequence[_Part]) -> float:
    return sum(part.height for part in run) + sum(part.gap for part in run[1:])
