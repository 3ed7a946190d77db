"""The evidence that is kept with a piece, as texts of a form and in words for its page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any, cast

from django.db.models import DecimalField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue.identifying.wording import in_its_order
from catalogue.models import Holding, Observation
from series.identifying.evidence import FIELDS, MEASURES, EvidenceError, Measured, read_evidence
from series.text.scripts import script_code, script_name
from series.text.words import plain

LABELS = {
    "diameter": gettext_lazy("Diameter"),
    "mass": gettext_lazy("Mass"),
    "thickness": gettext_lazy("Thickness"),
    "density": gettext_lazy("Density"),
    "colour": gettext_lazy("Colour"),
    "magnet": gettext_lazy("Magnet"),
    "sound": gettext_lazy("Sound"),
    "outline": gettext_lazy("Outline"),
    "sides": gettext_lazy("Sides"),
    "rings": gettext_lazy("Build"),
    "hole": gettext_lazy("Hole"),
    "panel": gettext_lazy("Inner panel"),
    "edge": gettext_lazy("Edge"),
    "legend": gettext_lazy("Legend"),
    "denomination": gettext_lazy("Value"),
    "year": gettext_lazy("Date"),
    "calendar": gettext_lazy("Calendar"),
    "script": gettext_lazy("Script"),
    "motif": gettext_lazy("Shows"),
    "country": gettext_lazy("Perhaps of"),
}
"""How each kind of evidence is called on a piece's page; in the order of reading."""

_TOLD_WITH = {"sides": "outline", "calendar": "year"}
_FOUR_FIGURES = re.compile(r"(?=.*\d)[0-9X]{4}")


def observation_of(holding: Holding) -> Observation | None:
    """What was seen of a piece, if it is kept. One query, unless it was fetched along."""
    found: Observation | None = getattr(holding, "observation", None)
    return found


def texts_of(holding: Holding) -> dict[str, str]:
    """The texts of the evidence on a piece, for ``read_evidence`` and the page's form.

    Its measures are those of the holding as they are now: they may have been taken again since.
    """
    observation = observation_of(holding)
    texts = {name: str(text) for name, text in observation.texts.items()} if observation else {}
    for measure, names in Holding.MEASURES.items():
        value, within = (getattr(holding, name) for name in names)
        if value is not None and stored_measure(_read(texts, measure), holding, measure) == (
            value,
            within,
        ):
            continue
        texts.pop(measure, None)
        texts.pop(f"{measure}_within", None)
        if value is not None:
            texts[measure] = plain(value)
            if within is not None:
                texts[f"{measure}_within"] = plain(within)
    if observation is None and _FOUR_FIGURES.fullmatch(holding.date_reading):
        texts["year"] = holding.date_reading.replace("X", "?")
    return {name: texts[name] for name in FIELDS if name in texts}


def _read(texts: Mapping[str, str], measure: str) -> Measured | None:
    names = (measure, f"{measure}_within")
    try:
        found = read_evidence({name: texts.get(name, "") for name in names})
    except EvidenceError:
        return None
    read: Measured | None = getattr(found, measure)
    return read


def stored_measure(
    measured: Measured | None, holding: Holding, measure: str
) -> tuple[Decimal | None, Decimal | None]:
    """A measure and its half-width as finely as a holding's fields keep them."""
    if measured is None:
        return None, None
    kept = []
    for number, name in zip(
        (measured.value, measured.within), Holding.MEASURES[measure], strict=True
    ):
        field = cast("DecimalField[Any, Any]", holding._meta.get_field(name))
        step = Decimal(1).scaleb(-field.decimal_places)
        kept.append(max(Decimal(repr(number)).quantize(step), step))
    return kept[0], kept[1]


def evidence_lines(texts: Mapping[str, str]) -> list[tuple[str, str]]:
    """Each thing that was seen or measured: what it is called, and what was found."""
    lines = []
    for name, label in LABELS.items():
        text = texts.get(name, "")
        if text and texts.get(_TOLD_WITH.get(name, ""), "") == "":
            lines.append((str(label), _value(name, text, texts)))
    return lines


def _value(name: str, text: str, texts: Mapping[str, str]) -> str:
    if name in MEASURES:
        measured, unit = _read(texts, name), MEASURES[name][1]
        if measured is None:
            return text
        return _("%(value)s %(unit)s, read to ± %(within)s %(unit)s") % {
            "value": f"{measured.value:g}",
            "within": f"{measured.within:g}",
            "unit": unit,
        }
    if name == "outline" and texts.get("sides"):
        return _("%(outline)s, %(n)s sides") % {"outline": text, "n": texts["sides"]}
    if name == "year":
        calendar = texts.get("calendar", "")
        return in_its_order(text) + (f" ({calendar})" if calendar else "")
    if name == "script":
        return script_name(script_code(text)) or text
    return text
