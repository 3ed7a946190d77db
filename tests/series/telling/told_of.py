"""Coins to be told of, made of invented words, and their fields by path.

Every name begins with "qu" or "Qu", which no English word of a sentence here does but those that
are listed in the tests, so that a word that stands in no record is noticed.
"""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import Decimal as D
from typing import Any

from hypothesis import strategies as st

from series.differences.facts import TypeFacts
from series.telling.story import (
    DateTold,
    FaceTold,
    LegendTold,
    MarkTold,
    MotifTold,
    PieceTold,
    Story,
)

SIDES = ("obverse", "reverse", "edge")
FACE = [field.name for field in fields(FaceTold) if field.name != "side"]
BODY = [field.name for field in fields(TypeFacts) if field.name not in ("faces", "marks")]
OWN = ["denomination", "country", "currency", "series", "name", "purpose", "first_year",
       "last_year", "units", "marks", "note"]  # fmt: skip
DATE = [field.name for field in fields(DateTold)]
PIECE = [field.name for field in fields(PieceTold)]
PATHS = [
    *OWN,
    *BODY,
    *(f"faces.{side}.{name}" for side in SIDES for name in FACE),
    *(f"date.{name}" for name in DATE),
    *(f"piece.{name}" for name in PIECE),
]


def word(*names: str) -> st.SearchStrategy[str]:
    return st.sampled_from(names)


maybe = st.booleans().map(lambda yes: "" if yes else "?")
motifs = st.lists(
    st.builds(
        MotifTold,
        word("quab", "quern", "qualls of Quorn", "Quintus"),
        word("", "on a quoin", "a quill"),
        word("", "The quest of Quorn.", "Quiet."),
    ),
    max_size=2,
    unique_by=lambda motif: motif.name,
).map(tuple)
legends = st.lists(
    st.builds(
        LegendTold,
        word("QUO", "QUA", "25 QUENT"),
        word("Latn", "Arab"),
        word("", "quo-read"),
        word("", "quite so"),
    ),
    max_size=2,
    unique_by=lambda legend: legend.text,
).map(tuple)
people = word("", "Quill", "Quist").map(lambda name: (name,) if name else ())
faces = st.tuples(
    *(
        st.builds(
            FaceTold,
            st.just(side),
            word("", "The quab, quartered.", "Queer things of Quorn.", "A quern."),
            legends,
            motifs,
            word("", "numeral", "words"),
            word("", "left", "right"),
            word("", "none", "beaded"),
            people,
            people,
        )
        for side in SIDES
    )
)
sizes = st.sampled_from([None, *map(D, ("18", "18.2", "19.05", "19.3", "21", "23.5"))])
bodies = st.builds(
    TypeFacts,
    diameter_mm=sizes,
    thickness_mm=st.sampled_from([None, D("1.5"), D("2")]),
    mass_g=st.sampled_from([None, D("4.2"), D("5"), D("5.5")]),
    metal=word("", "quartz", "quicklime", "silver 500"),
    composition=word("", "Qz"),
    build=word("", "solid", "in layers"),
    outline=word("round", "polygon", "scalloped"),
    sides=st.sampled_from([0, 7, 12]),
    hole=word("", "round", "square"),
    hole_mm=st.none(),
    ring_mm=st.sampled_from([None, D("15")]),
    edge=word("", "quilled", "quirky"),
    alignment=st.sampled_from([None, 6, 12]),
)
marks = st.lists(
    st.builds(
        MarkTold,
        word("mint", "signature"),
        word("Q", "Quu"),
        word("obverse", "reverse"),
        st.sampled_from([None, D(3), D("6.5")]),
        word("", "the quoin"),
        word("", "Quarry"),
        st.booleans(),
    ),
    max_size=2,
    unique_by=lambda mark: (mark.kind, mark.text, mark.side),
).map(tuple)
years = st.sampled_from([None, 1931, 1932, 1939])
dates = st.builds(
    DateTold,
    word("", "1931", "1932", "١٣٥٠"),
    word("civil", "AH"),
    years,
    years,
    st.sampled_from([(), ("1931",), ("1931", "1932"), ("1932", "١٣٥٠")]),
    word("circulation", "proof"),
    st.sampled_from([None, 12000]),
    word("", "Quashed."),
)
grades = st.sampled_from([("", None), ("quite fine", 18), ("quite fine", 32), ("quaint", 50)])
pieces = st.builds(
    lambda grade, **more: PieceTold(*grade, **more),
    grade=grades,
    problems=st.sampled_from([(), ("quenched",), ("quenched", "quirk")]),
    variety=word("", "quiet"),
    variety_note=word("", "A quirk."),
    worth=word("", "12 quid"),
)
stories = st.builds(
    Story,
    key=st.just("any"),
    denomination=word("25 quent", "5 quents", "half quid"),
    country=word("Quorn", "Quorn, Quay Board"),
    currency=word("quid", "new quid"),
    series=word("First Quest", "Quorn coins"),
    name=word("", "quoit"),
    purpose=word("circulating", "commemorative"),
    first_year=years,
    last_year=years,
    units=st.sampled_from([(), (("quent", "quents"),)]),
    body=bodies,
    faces=faces,
    marks=marks,
    date=dates,
    piece=pieces,
    note=word("", "Quarried in haste."),
)


def _alike(base: Story, others: list[Story], chosen: list[list[str]]) -> list[Story]:
    """Coins that differ from the first one in a few fields each, as neighbours do."""
    found = [base]
    for other, paths in zip(others, chosen, strict=False):
        coin = found[-1]
        for path in paths:
            coin = with_field(coin, path, value_of(other, path))
        found.append(coin)
    return found


talks = st.one_of(
    st.lists(stories, min_size=2, max_size=5),
    st.builds(
        _alike,
        stories,
        st.lists(stories, min_size=3, max_size=4),
        st.lists(st.lists(st.sampled_from(PATHS), max_size=3), min_size=3, max_size=4),
    ),
)


def value_of(story: Story, path: str) -> Any:
    """The field of a coin by its path."""
    head, _, rest = path.partition(".")
    if head == "faces":
        side, name = rest.split(".")
        return getattr(story.face(side), name)
    if head in ("date", "piece"):
        return getattr(getattr(story, head), rest)
    return getattr(story.body if path in BODY else story, path)


def with_field(story: Story, path: str, value: Any) -> Story:
    """The coin with one field changed."""
    head, _, rest = path.partition(".")
    if head == "faces":
        side, name = rest.split(".")
        changed = [replace(f, **{name: value}) if f.side == side else f for f in story.faces]
        return replace(story, faces=tuple(changed))
    if head == "date" and story.date is not None:
        return replace(story, date=replace(story.date, **{rest: value}))
    if head == "piece" and story.piece is not None:
        return replace(story, piece=replace(story.piece, **{rest: value}))
    if path in BODY:
        return replace(story, body=replace(story.body, **{path: value}))
    return replace(story, **{path: value})
