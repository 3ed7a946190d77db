"""What a coin is, and what of its size, metal and shape changed since the coin before.

What is computed: the sentences a speaker begins with. Lengths mm, masses g. What is the same as
before is said in a word ("again bronze"), and a second coin of the same name in fewer.

>>> from decimal import Decimal as D
>>> from series.differences.facts import TypeFacts
>>> old = Story("a", "25 tinne", "Halvern", "marl", "First Marl", first_year=1933, last_year=1958,
...             body=TypeFacts(metal="copper-nickel", diameter_mm=D("23.5")))
>>> new = Story("b", "25 tinne", "Halvern", "new marl", "Reform", first_year=1960, last_year=1985,
...             body=TypeFacts(metal="copper-nickel", diameter_mm=D("21")))
>>> for said in beginning(Context(old)) + beginning(Context(new, old)):
...     print(said.text)
The twenty-five tinne of the First Marl series of Halvern, struck from 1933 to 1958.
It is copper-nickel, twenty-three and a half millimetres across.
The twenty-five tinne again, now of the Reform series, struck from 1960 to 1985.
Again copper-nickel, but smaller by two and a half millimetres, at twenty-one.
"""

from __future__ import annotations

from decimal import Decimal

from series.telling import words
from series.telling.context import NAMED, Context, earlier
from series.telling.sentences import Sentence
from series.telling.story import Story
from series.text.english import outline_words
from series.text.folding import fold

_SHAPE = ("outline", "sides", "hole", "ring_mm")
_SHAPE_KINDS = ("outline", "hole", "ring")
_KINDS = {"commemorative": ", a commemorative", "pattern": ", a pattern"}
_SEEN = Decimal("0.25")
"""A difference in size below this is not worth a speaker's breath; common practice, no source."""


def beginning(here: Context) -> list[Sentence]:
    """What it is, then its size and metal."""
    return [what(here), *body(here)]


# ---- what it is ----
def what(here: Context) -> Sentence:
    """Its name, series, country and years; of a second one of the same name only that it is."""
    story, last = here.story, here.last
    cites = (*here.beside_last(*NAMED), *here.guard)
    if here.nth > 1:
        text = f"A {words.ordinal(here.nth)} piece of the same type."
        return Sentence("coin.what", text, (*cites, *earlier(*NAMED)))
    again = last is not None and last.denomination == story.denomination
    parts = [f"The {here.coin}{' again' if again else ''}"]
    if story.name:
        parts.append(f"{',' if again else ''} “{story.name}”")
    if origin := _origin(here):
        parts.append(f"{', now' if again else ''} of {origin}")
    parts.append(_KINDS.get(story.purpose, ""))
    if years := words.of_years(story.first_year, story.last_year):
        parts.append(f", struck {years}")
    return Sentence("coin.what", words.sentence("".join(parts)), cites)


def _origin(here: Context) -> str:
    """Series and country, as far as they were not just said."""
    story, last = here.story, here.last
    series = story.series if story.series not in here.just else ""
    country = story.country if story.country not in here.just else ""
    if last is not None and last.country == story.country:
        country = ""
        series = "" if last.series == story.series else series
    if country and series and fold(country) in fold(series):
        country = ""
    said = [words.series_of(series)] if series else []
    return " of ".join([*said, *([words.country(country)] if country else [])])


# ---- size, metal, shape ----
def body(here: Context) -> list[Sentence]:
    """Its metal, size and shape, or what changed of them."""
    was = here.since.body if here.since else None
    if was is None or not (was.metal or was.diameter_mm):
        return _stated(here)
    return _changed(here, here.since)


def _stated(here: Context) -> list[Sentence]:
    now = here.story.body
    parts = [words.metal(now.metal)] if now.metal else []
    if now.diameter_mm:
        parts.append(f"{words.length(now.diameter_mm)} across")
    outline = outline_words(now.outline, now.sides)
    if outline != "round":
        parts.append(outline)
    if now.hole:
        parts.append(f"with a {now.hole} hole")
    if not parts:
        return []
    text = words.sentence(f"it is {', '.join(parts)}")
    return [Sentence("coin.body", text, here.cites("metal", "diameter_mm", *_SHAPE))]


def _changed(here: Context, since: Story | None) -> list[Sentence]:
    if since is None:
        return []
    was, now = since.body, here.story.body
    steps = {step.kind: step.words for step in here.changes if step.group == "body"}
    shapes = [steps[kind] for kind in _SHAPE_KINDS if kind in steps]
    size, metal = _size(was.diameter_mm, now.diameter_mm, steps), steps.get("metal", "")
    cites = here.cites("metal", "diameter_mm", *_SHAPE)
    brief = "; ".join([*filter(None, (size and steps["diameter"], metal)), *shapes][:2])
    if metal:
        said = [*filter(None, (size and steps["diameter"], metal)), *shapes]
        text = ", ".join(said[:-1]) + f", and {said[-1]}" if said[1:] else said[0]
        if not size and was.diameter_mm and was.diameter_mm == now.diameter_mm:
            text += "; the size is the same"
        return [Sentence("coin.body", words.sentence(text), cites, brief)]
    if size or shapes:
        again = f"again {words.metal(now.metal)}, but " if _same(was.metal, now.metal) else ""
        text = again + ", and ".join(filter(None, (size, *shapes)))
        about = earlier("metal", "diameter_mm", *_SHAPE) if " about " in text else ()
        return [Sentence("coin.body", words.sentence(text), (*cites, *about), brief)]
    return _again(here, since, steps.get("mass", ""))


def _size(was: Decimal | None, now: Decimal | None, steps: dict[str, str]) -> str:
    """ "smaller by two millimetres, at twenty-one", where an eye sees it; "" else."""
    if was is None or now is None or abs(now - was) < _SEEN:
        return ""
    return f"{steps['diameter']}, at {words.bare_length(now)}"


def _same(was: object, now: object) -> bool:
    return bool(now) and was == now


def _again(here: Context, since: Story, lighter: str) -> list[Sentence]:
    """What is the same as before, unless the coin is of the same name."""
    was, now = since.body, here.story.body
    parts = [words.metal(now.metal)] if _same(was.metal, now.metal) else []
    if _same(was.diameter_mm, now.diameter_mm):
        parts.append("the same size")
    if not parts or here.nth > 1:
        return []
    text = f"again {' and '.join(parts)}"
    if lighter and now.mass_g is not None:
        text += f", but {lighter}, at {words.mass(now.mass_g)}"
    paths = ("metal", "diameter_mm", *_SHAPE, "mass_g", *NAMED)
    return [Sentence("coin.again", words.sentence(text), (*here.cites(*paths), *earlier(*paths)))]
