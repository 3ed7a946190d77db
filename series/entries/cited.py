"""Which facts of a type a citation stands for: a place that is a list of them.

What is computed: the columns that a citation's place names, and the place in words. A place that
names anything else ("section 4") is a place in the source and stands for the whole record. Units:
none. Source: none needed.

>>> cited_facts("diameter_mm, edge"), cited_facts("section 4")
(('diameter_mm', 'edge'), ())
>>> place_words("diameter_mm, edge"), place_words("section 4")
('diameter, edge', 'section 4')
"""

from __future__ import annotations

FACTS = {
    "composition": "metal",
    "mass_g": "mass",
    "remedy_g": "remedy",
    "diameter_mm": "diameter",
    "thickness_mm": "thickness",
    "hole_mm": "hole",
    "ring_mm": "centre",
    "outline": "shape",
    "sides": "sides",
    "edge": "edge",
    "alignment": "alignment",
    "years": "years",
    "dates": "dates",
    "mintages": "mintages",
    "marks": "marks",
    "obverse": "obverse",
    "reverse": "reverse",
    "legends": "legends",
    "designers": "designers",
    "obverse.legends": "legends of the obverse",
    "obverse.designers": "designers of the obverse",
    "reverse.legends": "legends of the reverse",
    "reverse.designers": "designers of the reverse",
    "withdrawn_on": "withdrawal",
    "tender_until": "legal tender",
    "exchange_until": "exchange",
}
"""What a citation may stand for, by the name that a pack writes, in words."""


def cited_facts(where: str) -> tuple[str, ...]:
    """The facts that a place names; none where it is a place in the source."""
    named = tuple(word.strip() for word in where.split(","))
    return named if where and all(word in FACTS for word in named) else ()


def place_words(where: str) -> str:
    """A citation's place as a page says it."""
    return ", ".join(FACTS[name] for name in cited_facts(where)) or where
