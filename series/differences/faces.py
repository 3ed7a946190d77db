"""What changed in the design of the faces: value, motifs, busts, legends, borders, people.

What is computed: steps (:class:`series.differences.facts.Change`) between two types from what is
recorded of their faces. A face of which nothing is recorded is never compared.

>>> from series.differences.facts import FaceFacts
>>> old = TypeFacts(faces=(FaceFacts("obverse", motifs=("arms",), bust="left"),))
>>> new = TypeFacts(faces=(FaceFacts("obverse", motifs=("gull",), bust="right"),))
>>> [step.words for rule in FACE_RULES for step in rule(old, new)]
['arms replaced by a gull on the obverse', 'bust turned to the right']
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from series.differences.facts import Change, FaceFacts, TypeFacts
from series.text.english import a, listed, the
from series.text.folding import fold
from series.text.scripts import as_seen, script_name

_VALUE = {"numeral": "in numerals", "words": "in words", "both": "in numerals and words"}


def _value(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    was, now = _value_way(before), _value_way(after)
    if not was or not now:
        return
    if was != now:
        yield Change("value", was, now, f"value {_VALUE[now]} where it was {_VALUE[was]}")
        return
    sides = [{f.side for f in facts.faces if f.value_as} for facts in (before, after)]
    if len(sides[0]) == len(sides[1]) == 1 and sides[0] != sides[1]:
        old, new = sides[0].pop(), sides[1].pop()
        yield Change("value side", old, new, f"value moved from {old} to {new}")


def _value_way(facts: TypeFacts) -> str:
    ways = {face.value_as for face in facts.faces if face.value_as}
    return "both" if len(ways) > 1 else next(iter(ways), "")


def _pairs(before: TypeFacts, after: TypeFacts) -> list[tuple[FaceFacts, FaceFacts]]:
    """The faces whose design is recorded of both types."""
    new = {face.side: face for face in after.faces if face.known}
    return [(old, new[old.side]) for old in before.faces if old.known and old.side in new]


@dataclass
class _Turnover:
    """What went from and came to each face, after what only moved was taken out."""

    moved: list[tuple[str, str, str]]
    gone: dict[str, list[str]]
    new: dict[str, list[str]]


def _turnover(
    pairs: list[tuple[FaceFacts, FaceFacts]], shown: Callable[[FaceFacts], tuple[str, ...]]
) -> _Turnover:
    gone = {old.side: [x for x in shown(old) if x not in shown(now)] for old, now in pairs}
    new = {old.side: [x for x in shown(now) if x not in shown(old)] for old, now in pairs}
    was = [x for old, _ in pairs for x in shown(old)]
    now_shown = [x for _, now in pairs for x in shown(now)]
    moved = []
    for side, things in gone.items():
        for thing in list(things):
            where = next((s for s, others in new.items() if thing in others), None)
            if where and was.count(thing) == now_shown.count(thing) == 1:
                moved.append((thing, side, where))
                things.remove(thing)
                new[where].remove(thing)
    return _Turnover(moved, gone, new)


def _motifs(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    found = _turnover(_pairs(before, after), lambda face: face.motifs)
    for motif, old, new in found.moved:
        yield Change("motif moved", old, new, f"{the(motif)} moved from {old} to {new}", motif)
    for side in found.gone:
        gone, new_ones = found.gone[side], found.new[side]
        if not gone and not new_ones:
            continue
        if gone and new_ones:
            words = f"{listed(gone, the)} replaced by {listed(new_ones, a)} on the {side}"
        elif gone:
            words = f"{listed(gone, the)} gone from the {side}"
        else:
            words = f"{listed(new_ones, a)} added to the {side}"
        yield Change(
            "motif", listed(gone), listed(new_ones), words, side, tuple(gone), tuple(new_ones)
        )


_BUST = {"left": "to the left", "right": "to the right", "facing": "facing"}


def _busts(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    pairs = _pairs(before, after)
    old_sides = [old.side for old, now in pairs if old.bust and not now.bust]
    new_sides = [old.side for old, now in pairs if now.bust and not old.bust]
    if len(old_sides) == len(new_sides) == 1:
        was, now_at = old_sides[0], new_sides[0]
        yield Change("bust moved", was, now_at, f"bust moved from {was} to {now_at}")
        return
    for old, now in pairs:
        if old.bust == now.bust:
            continue
        said = _BUST.get(now.bust, now.bust)
        if not now.bust:
            words = f"no bust on the {old.side} where there was one"
        elif not old.bust:
            words = f"a bust {said} on the {old.side} where there was none"
        elif now.bust == "facing":
            words = f"bust facing where it was turned {_BUST[old.bust]}"
        else:
            words = f"bust turned {said}"
        yield Change("bust", old.bust, now.bust, words, old.side)


def _legends(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    pairs = _pairs(before, after)
    texts = {fold(x.text): x.text for facts in (before, after) for f in facts.faces
             for x in f.legends}  # fmt: skip
    found = _turnover(pairs, lambda face: tuple(fold(legend.text) for legend in face.legends))
    for folded, old, new in found.moved:
        words = f"legend “{texts[folded]}” moved from {old} to {new}"
        yield Change("legend moved", old, new, words, folded)
    for face, now in pairs:
        side = face.side
        was_script, now_script = (_scripts(f) for f in (face, now))
        if was_script and now_script and was_script != now_script:
            words = f"legend on the {side} in {now_script} letters where it was in {was_script}"
            yield Change("script", was_script, now_script, words, side)
            continue
        gone = _quoted(legend.text for legend in face.legends if fold(legend.text)
                       in found.gone[side])  # fmt: skip
        new_text = _quoted(legend.text for legend in now.legends if fold(legend.text)
                           in found.new[side])  # fmt: skip
        if gone and new_text:
            words = f"legend {new_text} in place of {gone} on the {side}"
        elif gone:
            words = f"legend {gone} gone from the {side}"
        elif new_text:
            words = f"legend {new_text} added to the {side}"
        else:
            continue
        yield Change("legend", gone, new_text, words, side)


def _scripts(face: FaceFacts) -> str:
    seen = as_seen({legend.script for legend in face.legends})
    return listed(script_name(code) for code in sorted(seen))


def _quoted(texts: Iterable[str]) -> str:
    return listed(f"“{text}”" for text in texts)


def _same_on_both(
    kind: str, found: list[tuple[str, str, str]], words: Callable[..., str]
) -> Iterator[Change]:
    """One step when it is the same on every face, else one for each face (side, was, now)."""
    steps = {(was, now) for _, was, now in found}
    if len(found) > 1 and len(steps) == 1:
        was, now = steps.pop()
        yield Change(kind, was, now, words(was=was, now=now))
        return
    for side, was, now in found:
        yield Change(kind, was, now, f"on the {side}, {words(was=was, now=now)}", side)


def _borders(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    new = {face.side: face.border for face in after.faces}
    found = [
        (face.side, face.border, new[face.side])
        for face in before.faces
        if face.border and new.get(face.side) and new[face.side] != face.border
    ]

    def words(was: str, now: str) -> str:
        if now == "none":
            return f"no inner border where it was {was}"
        if was == "none":
            return f"a {now} inner border where there was none"
        return f"inner border {now} where it was {was}"

    yield from _same_on_both("border", found, words)


def _people(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    for role, verb in (("designers", "designed"), ("engravers", "engraved")):
        found = [
            (old.side, listed(getattr(old, role)), listed(getattr(now, role)))
            for old, now in _pairs(before, after)
            if getattr(old, role)
            and getattr(now, role)
            and set(getattr(old, role)) != set(getattr(now, role))
        ]
        yield from _same_on_both(role, found, f"{verb} by {{now}} in place of {{was}}".format)


FACE_RULES: tuple[Callable[[TypeFacts, TypeFacts], Iterator[Change]], ...] = (
    _value, _motifs, _busts, _legends, _borders, _people,
)  # fmt: skip
