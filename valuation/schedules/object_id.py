"""The fields of Object ID, by which a piece can be described to an insurer or the police.

Computed: which fields of a description say something. The list is that of the Object ID
checklist (J. Paul Getty Trust 1997, kept by the International Council of Museums), in its order:
first what it asks for, then what it recommends. Labels are English; pages translate them.

>>> missing({"title": "25 tinne", "maker": "Testland"})[:3]
('photographs', 'type_of_object', 'materials_and_techniques')
>>> label("materials_and_techniques")
'Materials and techniques'
"""

from __future__ import annotations

from collections.abc import Mapping

ASKED = (
    "photographs",
    "type_of_object",
    "materials_and_techniques",
    "measurements",
    "inscriptions_and_markings",
    "distinguishing_features",
    "title",
    "subject",
    "date_or_period",
    "maker",
    "short_description",
)
RECOMMENDED = (
    "inventory_number",
    "related_written_material",
    "place_of_origin",
    "cross_reference",
    "date_documented",
)
FIELDS = ASKED + RECOMMENDED

_LABELS = {"cross_reference": "Cross-reference to related objects"}


def label(field: str) -> str:
    """The name of a field as a person reads it."""
    return _LABELS.get(field) or field.replace("_", " ").capitalize()


def missing(description: Mapping[str, object]) -> tuple[str, ...]:
    """The fields asked for that a description leaves empty."""
    return tuple(field for field in ASKED if not description.get(field))
