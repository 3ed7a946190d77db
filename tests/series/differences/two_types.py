"""A type to start from, others that differ from it, and what is said of two of them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

from series.differences.changes import changes, in_words
from series.differences.facts import FaceFacts, MarkFacts, TypeFacts

NOT_DESCRIBED = (FaceFacts("obverse", known=False),)
OLD = TypeFacts(
    diameter_mm=D("23.5"),
    thickness_mm=D("1.6"),
    mass_g=D("5.40"),
    metal="copper-nickel",
    composition="Cu75Ni25",
    build="solid",
    edge="milled",
    alignment=6,
    faces=(FaceFacts("obverse"), FaceFacts("reverse")),
)


def said(before: TypeFacts, after: TypeFacts) -> str:
    return in_words(changes(before, after))


def with_face(**fields: Any) -> TypeFacts:
    return replace(OLD, faces=(FaceFacts("obverse", **fields), FaceFacts("reverse")))


def with_marks(*marks: MarkFacts) -> TypeFacts:
    return replace(OLD, marks=marks)


def with_faces(obverse: dict[str, Any], reverse: dict[str, Any]) -> TypeFacts:
    return replace(OLD, faces=(FaceFacts("obverse", **obverse), FaceFacts("reverse", **reverse)))
