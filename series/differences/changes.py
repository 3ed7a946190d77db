"""What changed from one type of a denomination to the next, computed and said in words.

What is computed: the differences between two types from what is recorded of them, in the order
in which a collector notes them: size, metal, shape, value, motifs, busts, legends, marks,
borders and edge, mass, thickness, alignment, people. Lengths are mm, masses g, alignment hours,
places by the clock hours. What is not recorded of either type is never called a change. The
order and the wording are this project's own.

>>> from decimal import Decimal as D
>>> from series.differences.facts import FaceFacts, MarkFacts
>>> old = TypeFacts(
...     diameter_mm=D("23.5"), metal="copper-nickel",
...     faces=(FaceFacts("obverse", motifs=("net",), value_as="words"), FaceFacts("reverse")),
...     marks=(MarkFacts("mint", "S", "reverse", D(6)),),
... )
>>> new = TypeFacts(
...     diameter_mm=D("22"), metal="steel",
...     faces=(FaceFacts("obverse", value_as="numeral"), FaceFacts("reverse", motifs=("net",))),
...     marks=(MarkFacts("mint", "S", "reverse", D(3)),),
... )
>>> print(in_words(changes(old, new)))
smaller by 1.5 mm; steel in place of copper-nickel; value in numerals where it was in words; \
the net moved from obverse to reverse; mint mark from 6 to 3 o'clock
>>> changes(new, new)
()
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from series.differences.faces import FACE_RULES
from series.differences.facts import Change, TypeFacts
from series.differences.marks import mark_changes
from series.text.english import alignment_words, outline_words
from series.text.folding import fold
from series.text.words import plain


def changes(before: TypeFacts, after: TypeFacts) -> tuple[Change, ...]:
    """The steps from one type to the next, in the order in which they are noted."""
    return tuple(change for rule in _RULES for change in rule(before, after))


def in_words(steps: Iterable[Change]) -> str:
    """The steps as one line, parted by semicolons; "" when there are none."""
    return "; ".join(step.words for step in steps)


# ---- size, metal, shape ----
def _amount(
    kind: str, before: Decimal | None, after: Decimal | None, less: str, more: str, unit: str
) -> Iterator[Change]:
    if before is None or after is None or before == after:
        return
    word = less if after < before else more
    words = f"{word} by {plain(abs(after - before))} {unit}"
    yield Change(kind, plain(before), plain(after), words)


def _size(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    yield from _amount("diameter", before.diameter_mm, after.diameter_mm, "smaller", "larger", "mm")


def _metal(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    """The metal by name; where the name is the same, how it is built, or its proportions."""
    for kind, said in (
        ("metal", "{now} in place of {was}"),
        ("build", "{now} where it was {was}"),
        ("composition", "{now} in place of {was}"),
    ):
        was, now = getattr(before, kind), getattr(after, kind)
        if was and now and was != now:
            yield Change(kind, was, now, said.format(was=was, now=now))
            return


def _outline(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    was = outline_words(before.outline, before.sides)
    now = outline_words(after.outline, after.sides)
    if was != now:
        yield Change("outline", was, now, f"{now} where it was {was}")
    if before.hole != after.hole:
        if not after.hole:
            words = "no hole where there was one"
        elif not before.hole:
            words = f"a {after.hole} hole where there was none"
        else:
            words = f"the hole {after.hole} where it was {before.hole}"
        yield Change("hole", before.hole, after.hole, words)
    elif after.hole:
        yield from _amount(
            "hole size", before.hole_mm, after.hole_mm, "hole smaller", "hole larger", "mm"
        )
    if before.ring_mm is None and after.ring_mm is not None:
        words = "a ring and a centre where it was one piece"
        yield Change("ring", "one piece", "ring and centre", words)
    elif before.ring_mm is not None and after.ring_mm is None:
        words = "one piece where it was a ring and a centre"
        yield Change("ring", "ring and centre", "one piece", words)
    else:
        yield from _amount(
            "ring size", before.ring_mm, after.ring_mm, "centre smaller", "centre larger", "mm"
        )


def _rim(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    was, now = before.inner_panel, after.inner_panel
    if was != now and before.described and after.described:
        if not now:
            words = f"no inner panel where it was {was}"
        elif not was:
            words = f"an inner panel, {now}, where there was none"
        else:
            words = f"inner panel {now} where it was {was}"
        yield Change("panel", was, now, words)
    if before.edge and after.edge and fold(before.edge) != fold(after.edge):
        words = f"edge {after.edge} where it was {before.edge}"
        yield Change("edge", before.edge, after.edge, words)


def _measures(before: TypeFacts, after: TypeFacts) -> Iterator[Change]:
    yield from _amount("mass", before.mass_g, after.mass_g, "lighter", "heavier", "g")
    yield from _amount(
        "thickness", before.thickness_mm, after.thickness_mm, "thinner", "thicker", "mm"
    )
    was, now = before.alignment, after.alignment
    if was is not None and now is not None and was != now:
        old, new = alignment_words(was), alignment_words(now)
        yield Change("alignment", old, new, f"{new} where it was {old}")


_RULES: tuple[Callable[[TypeFacts, TypeFacts], Iterator[Change]], ...] = (
    _size, _metal, _outline, *FACE_RULES[:-1], mark_changes, _rim, _measures, FACE_RULES[-1],
)  # fmt: skip
