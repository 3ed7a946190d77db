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

from series.telling.sentences import Sentence
from series.telling.story import Opening, Story


@dataclass(frozen=True)
class Telling:
    """What is said at one stop; see the head of this module."""

    sentences: tuple[Sentence, ...] = ()
    before: int | None = None
    wall: str = ""
    news: int = 0


def tell(stops: Sequence[Story | Opening | None], says_worth: bool = False) -> list[Telling]:
    """The sentences of each stop of a talk, in order."""
    raise NotImplementedError


def paragraphs(sentences: Sequence[Sentence]) -> list[str]:
    """The sentences as paragraphs of notes."""
    raise NotImplementedError
