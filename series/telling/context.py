"""Where in a talk a coin is told: the coin before it, what was just said, what was told earlier.

What is computed: which fields a sentence cites. A field of the coin itself goes by its path
("metal", "faces.reverse.motifs"), one of the coin before it by "before." and that path, one that
counts through what was said at earlier stops by "earlier." and that path.

>>> two = Context(Story("b", "25 tinne"), Story("a", "25 tinne"))
>>> two.cites("metal"), Context(Story("b", "25 tinne")).cites("metal")
(('metal', 'before.metal'), ('metal',))
>>> earlier("metal")
('earlier.metal',)
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from series.differences.changes import changes
from series.telling import words
from series.telling.changed import Heard, heard
from series.telling.story import Story

NAMED = ("denomination", "units", "name", "country", "series", "first_year", "last_year", "purpose")
"""The fields by which a coin is named."""


@dataclass
class Earlier:
    """What was told so far: motifs with their meaning, each with the coin that showed it last and
    how many coins had been told then; legends; changes of money."""

    coins: int = 0
    motifs: dict[tuple[str, str], tuple[str, int]] = field(default_factory=dict)
    legends: set[str] = field(default_factory=set)
    money: set[tuple[str, str]] = field(default_factory=set)


@dataclass(frozen=True)
class Context:
    """A coin in its place in a talk.

    ``last`` is the coin before it; ``since`` below is that coin where the two are compared:
    they are not when a country was opened between them, nor when money or a series was
    (``opened``) and the denomination is another one. ``just`` are the names of what was opened
    directly before; ``nth`` counts coins of one name in a row, from 1.
    """

    story: Story
    last: Story | None = None
    new_country: bool = False
    opened: bool = False
    just: frozenset[str] = frozenset()
    nth: int = 1
    earlier: Earlier = field(default_factory=Earlier)

    @cached_property
    def since(self) -> Story | None:
        if self.last is None or self.new_country:
            return None
        if self.opened and self.last.denomination != self.story.denomination:
            return None
        return self.last

    @property
    def relative(self) -> Story | None:
        """The coin before where its design is compared too: one of the same country."""
        since = self.since
        return since if since is not None and since.country == self.story.country else None

    @cached_property
    def changes(self) -> tuple[Heard, ...]:
        """The steps since the coin before, for the ear."""
        if self.since is None or self.since.facts == self.story.facts:
            return ()
        return heard(changes(self.since.facts, self.story.facts))

    @cached_property
    def coin(self) -> str:
        """The denomination as it is said after "the"."""
        return words.coin(self.story.denomination, self.story.units)

    @property
    def guard(self) -> tuple[str, ...]:
        """What decides whether the two are compared."""
        if not self.opened or self.new_country or self.last is None:
            return ()
        return ("denomination", "before.denomination")

    def cites(self, *paths: str) -> tuple[str, ...]:
        """These fields, and those of the coin before where it is compared with that."""
        before = tuple(f"before.{path}" for path in paths) if self.since else ()
        return tuple(dict.fromkeys((*paths, *before, *self.guard)))

    def of_design(self, *paths: str) -> tuple[str, ...]:
        """As ``cites``, for what rests on the two being of one country."""
        return self.cites(*paths, *(["country"] if self.since else []))

    def beside_last(self, *paths: str) -> tuple[str, ...]:
        """These fields, and those of the coin before whether or not it is compared with that."""
        return (*paths, *(f"before.{path}" for path in paths)) if self.last else paths


def earlier(*paths: str) -> tuple[str, ...]:
    """These fields of earlier stops."""
    return tuple(f"earlier.{path}" for path in paths)


SIDES = ("obverse", "reverse", "edge")


def of_faces(*names: str) -> list[str]:
    """The paths of some fields of every face.

    >>> of_faces("motifs")[:2]
    ['faces.obverse.motifs', 'faces.reverse.motifs']
    """
    return [f"faces.{side}.{name}" for side in SIDES for name in names]
