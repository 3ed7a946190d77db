"""What changed between two types, for the ear: the few things a person names first, and the rest.

What is computed: words for steps of :mod:`series.differences`, as a speaker says them; a motif that
came is said with the one whose place it took. How telling a step is stands in
``series.telling.ranks``. Lengths mm, masses g.

>>> from decimal import Decimal as D
>>> from series.differences.changes import changes
>>> from series.differences.facts import FaceFacts, TypeFacts
>>> old = TypeFacts(diameter_mm=D("23.5"), metal="bronze", edge="reeded", faces=(
...     FaceFacts("obverse", motifs=("lighthouse",)), FaceFacts("reverse", motifs=("net",))))
>>> new = TypeFacts(diameter_mm=D("21"), metal="aluminium", edge="plain", faces=(
...     FaceFacts("obverse", motifs=("net",)), FaceFacts("reverse", motifs=("barley ear",))))
>>> steps = heard(changes(old, new))
>>> first(steps)
'Smaller by two and a half millimetres, aluminium where it was bronze, and the net moved from the \
reverse to the obverse, where the lighthouse was.'
>>> [(heading, words) for heading, words in grouped(steps)][-1]
('edge', ('the edge plain where it was reeded',))
>>> first(heard(()))
''
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from series.differences.facts import Change
from series.telling import ranks, words
from series.text.english import listed

MOST_FIRST = 3
_MOTIFS = ("motif", "motif moved")


@dataclass(frozen=True)
class Heard:
    """A step in words for the ear: its kind, face, group and weight (``series.telling.ranks``)."""

    kind: str
    words: str
    weight: int
    group: str
    side: str = ""


def heard(changes: Iterable[Change]) -> tuple[Heard, ...]:
    """The steps for the ear, in the order in which they are noted; motifs of a face as one."""
    found: list[Heard] = []
    steps = list(changes)
    motifs = [step for step in steps if step.kind in _MOTIFS]
    for step in steps:
        if step.kind not in _MOTIFS:
            kept = (step.kind, in_words(step), ranks.weight(step), ranks.group(step), step.side)
            found.append(Heard(*kept))
        elif step is motifs[0]:
            found += _motifs(motifs)
    return tuple(found)


# ---- steps but motifs ----
_AMOUNTS = {
    "diameter": ("smaller", "larger"),
    "mass": ("lighter", "heavier"),
    "thickness": ("thinner", "thicker"),
    "hole size": ("the hole smaller", "the hole larger"),
    "ring size": ("the centre smaller", "the centre larger"),
}


def in_words(step: Change) -> str:
    """One step for the ear."""
    if step.kind in _AMOUNTS:
        was, now = Decimal(step.before), Decimal(step.after)
        less, more = _AMOUNTS[step.kind]
        said = words.mass if step.kind == "mass" else words.length
        return f"{less if now < was else more} by {said(abs(now - was))}"
    if step.kind == "metal":
        return f"{words.metal(step.after)} where it was {words.metal(step.before)}"
    if step.kind.endswith(" place"):
        return f"the {_CLOCK.sub(_hour, step.words)}"
    if step.kind in ("edge", "legend", "legend moved", "panel") and step.words.startswith(_NOUNS):
        return f"the {step.words}"
    return _FACE_FIRST.sub(r"the \1 \2", _FACES.sub(r"from the \1 to the \2", step.words))


_NOUNS = ("edge ", "legend ", "inner panel ")
_FACES = re.compile(r"\bfrom (obverse|reverse) to (obverse|reverse)\b")
_FACE_FIRST = re.compile(r"^on the (obverse|reverse), ((?:designed|engraved) by)")
_CLOCK = re.compile(r"\b(\d+)(?= o'clock| to \d+ o'clock|$)|(?<=past )\d+|(?<=quarter to )\d+")


def _hour(found: re.Match[str]) -> str:
    return words.number(int(found[0]))


# ---- motifs ----
def _motifs(steps: Sequence[Change]) -> list[Heard]:
    """What stands on each face where something else stood."""
    moved = {step.side: (step.before, step.after) for step in steps if step.kind == "motif moved"}
    replaced = {step.side: step for step in steps if step.kind == "motif"}
    sides = [*replaced, *(side for pair in moved.values() for side in pair)]
    found = []
    for side in sorted(set(sides), key=("obverse", "reverse", "edge").index):
        step = replaced.get(side)
        left = [name for name, (was, _) in moved.items() if was == side]
        came = {name: was for name, (was, now) in moved.items() if now == side}
        gone = [*left, *(step.gone if step else ())]
        new = list(step.come) if step else []
        if not came and not new and len(gone) == len(left):
            continue  # what left is said where it went
        kind = "motif" if new or len(gone) > len(left) else "motif moved"
        found.append(Heard(kind, _on(side, gone, came, new), *ranks.RANKS[kind], side))
    return found


def _on(side: str, gone: Sequence[str], came: dict[str, str], new: Sequence[str]) -> str:
    """ "on the reverse a barley ear where the net was", "the gull gone from the obverse"."""
    there = f"where {listed(gone, words.this)} {words.are(gone)}" if gone else ""
    if came and not new:
        moved = f"{listed(came, words.this)} moved from the {_from(came)} to the {side}"
        return f"{moved}, {there}" if there else moved
    if new:
        here = listed([*(f"{words.this(name)} from the {was}" for name, was in came.items()),
                       *map(words.some, new)])  # fmt: skip
        return f"on the {side} {here} {there}" if there else f"{here} added on the {side}"
    return f"{listed(gone, words.this)} gone from the {side}"


def _from(came: dict[str, str]) -> str:
    return " and the ".join(dict.fromkeys(came.values()))


# ---- the few, and the rest ----
def named(steps: Sequence[Heard], most: int = MOST_FIRST) -> list[Heard]:
    """Those a person names first, at most so many, in the order in which they are noted."""
    telling = [step for step in steps if step.weight >= ranks.NAMED_FIRST] or list(steps)
    chosen = sorted(telling, key=lambda step: -step.weight)[:most]
    return [step for step in steps if step in chosen]


def first(steps: Sequence[Heard], most: int = MOST_FIRST) -> str:
    """The few things named first as a sentence; "" for none."""
    said = [step.words for step in named(steps, most)]
    if not said:
        return ""
    return words.sentence(", ".join(said[:-1]) + f", and {said[-1]}" if said[1:] else said[0])


def grouped(steps: Sequence[Heard]) -> list[tuple[str, tuple[str, ...]]]:
    """All steps under the headings of ``ranks.GROUPS``; headings without any are left out."""
    return [
        (heading, tuple(step.words for step in steps if step.group == key))
        for key, heading in ranks.GROUPS.items()
        if any(step.group == key for step in steps)
    ]


def more(steps: Sequence[Heard], most: int = MOST_FIRST) -> list[tuple[str, tuple[str, ...]]]:
    """The steps that ``first`` does not say, grouped."""
    said = named(steps, most)
    return grouped([step for step in steps if step not in said])
