"""A whole talk, told: the sentences of every stop, each knowing what was said before it.

What is computed: for each stop its sentences in the order in which a speaker says them, and which
earlier stop it was compared with. A stop is a :class:`~series.telling.story.Story` (a coin), an
opening (a country, a currency, a series), or None for what has no record (a line of text): nothing
is told of it, and what stands around it is told as if it were not there.

    told = tell([opening, coin, other], says_worth=False)
    told[2].sentences   # tuple[Sentence, ...]; their texts joined by spaces are the notes
    told[2].before      # 1: the stop it was compared with, None for none
    told[2].wall        # "smaller by two and a half millimetres; arms where the net was", or ""
    told[2].news        # how much is new since that stop: 0 for nothing; for what to leave out

Paragraphs: a sentence begins one where ``sentence.key`` has another first word (before its first
point) than the one before it; ``paragraphs`` puts them so. From records, stories and openings are
made by ``series.types.telling_facts`` (``stories``, ``openings``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from series.telling import coin, faces, openings, piece, words
from series.telling.context import NAMED, Context, Earlier
from series.telling.sentences import Sentence
from series.telling.story import CountryOpening, CurrencyOpening, Opening, SeriesOpening, Story
from series.text.folding import fold

MOST_ON_WALL = 3
NEWS_OF_FIRST = 200
"""The news of a coin that is compared with none, of an opening too."""


@dataclass(frozen=True)
class Telling:
    """What is said at one stop; see the head of this module."""

    sentences: tuple[Sentence, ...] = ()
    before: int | None = None
    wall: str = ""
    news: int = 0


def tell(stops: Sequence[Story | Opening | None], says_worth: bool = False) -> list[Telling]:
    """The sentences of each stop of a talk, in order."""
    teller = _Teller(says_worth)
    return [teller.stop(number, stop) for number, stop in enumerate(stops)]


def paragraphs(sentences: Sequence[Sentence]) -> list[str]:
    """The sentences as paragraphs of notes.

    >>> paragraphs([Sentence("coin.what", "A."), Sentence("coin.body", "B."),
    ...             Sentence("look.D", "C.")])
    ['A. B.', 'C.']
    """
    found: list[str] = []
    about = ""
    for said in sentences:
        head = said.key.partition(".")[0]
        if found and head == about:
            found[-1] += f" {said.text}"
        else:
            found.append(said.text)
        about = head
    return found


class _Teller:
    """Goes along the stops and remembers what it said."""

    def __init__(self, says_worth: bool) -> None:
        self.says_worth = says_worth
        self.earlier = Earlier()
        self.last: tuple[int, Story] | None = None
        self.nth = 1
        self.opened: list[Opening] = []
        self.just_made: frozenset[str] = frozenset()

    def stop(self, number: int, stop: Story | Opening | None) -> Telling:
        if stop is None:
            return Telling()
        if isinstance(stop, Story):
            return self._coin(number, stop)
        made = openings.opening(stop, self.earlier)
        self.opened.append(stop)
        if isinstance(stop, CurrencyOpening):
            changes = [*stop.replaced, *([stop.became] if stop.became else [])]
            self.earlier.money |= {(change.old, change.new) for change in changes}
        return Telling(self._new(made), None, "", NEWS_OF_FIRST)

    def _coin(self, number: int, story: Story) -> Telling:
        last = self.last[1] if self.last else None
        same = last is not None and all(getattr(story, x) == getattr(last, x) for x in NAMED)
        self.nth = self.nth + 1 if same else 1
        here = Context(
            story,
            last,
            new_country=any(isinstance(each, CountryOpening) for each in self.opened),
            opened=bool(self.opened),
            just=frozenset(
                name
                for each in self.opened
                for name in (each.name, each.country if isinstance(each, SeriesOpening) else "")
            ),
            nth=self.nth,
            earlier=self.earlier,
        )
        made = [
            *coin.beginning(here),
            *faces.on_faces(here),
            *piece.ending(here, self.says_worth),
        ]
        before = self.last[0] if self.last and here.since else None
        self._remember(number, here)
        wall = "; ".join([part for said in made if said.brief for part in said.brief.split("; ")]
                         [:MOST_ON_WALL])  # fmt: skip
        news = sum(step.weight for step in here.changes) if before is not None else NEWS_OF_FIRST
        return Telling(self._new(made), before, wall, news)

    def _new(self, made: list[Sentence]) -> tuple[Sentence, ...]:
        """Without what would have been said at the stop before in the same words."""
        told = tuple(said for said in made if said.text not in self.just_made)
        self.just_made = frozenset(said.text for said in made)
        return told

    def _remember(self, number: int, here: Context) -> None:
        story = here.story
        self.earlier.coins += 1
        place = f"the {here.coin}"
        if story.series:
            place += f" of {words.series_of(story.series)}"
        for face in story.faces:
            for motif in face.motifs:
                if motif.meaning:
                    said = (motif.name, words.aloud(motif.meaning))
                    self.earlier.motifs[said] = (place, self.earlier.coins)
            self.earlier.legends |= {fold(legend.text) for legend in face.legends}
        self.last = (number, story)
        self.opened = []
