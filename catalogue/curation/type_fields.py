"""The fields of the form of a type: how each is asked, and the folds they stand in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.choices import flatten_choices
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from catalogue.curation.text_fields import box, offered
from series.dates.words import in_words
from series.entries.columns import read_by
from series.entries.tables import TypeEntry
from series.models import Face, Series

FIRST = ("country", "value", "dates", "composition")
NEXT = ("diameter_mm", "mass_g", "outline", "sides")
SHAPE = (
    "thickness_mm", "remedy_g", "hole", "hole_mm", "ring_mm", "inner_panel",
)  # fmt: skip
WHAT = ("name", "purpose")
LAW = (
    "withdrawn_on", "tender_until", "exchange_until", "exchange_where", "exchange_rate",
    "remedy_law", "size_law",
)  # fmt: skip
YEARS = ("first_year", "last_year")
EDGE = ("edge", "alignment", "convention")
MEASURES = ("composition", *NEXT, *SHAPE, *EDGE)
SOURCES = ("references", "citations", "note")
FACE = ("description", "legends", "motifs", "value_as", "bust", "border", "role")
_PEOPLE = ("designers", "engravers")
_MOST_SAID = 5


@dataclass(frozen=True)
class Group:
    """Fields under a heading of their own within a fold; "" for none."""

    heading: str
    fields: list[forms.BoundField]


@dataclass(frozen=True)
class Fold:
    """A subject of the form, folded away until it is wanted; ``holds`` says what stands in it."""

    key: str
    heading: str
    groups: list[Group]
    holds: str
    open: bool


def face_fields(side: str) -> dict[str, forms.Field]:
    """What is asked of a face; of an edge only what it shows."""

    made: dict[str, forms.Field] = {
        "description": box(_("Description"), rows=2),
        "legends": box(_("Legends"), _("One a line: as struck | transliteration | translation.")),
    }
    if side != "edge":
        made |= {
            "motifs": box(
                _("Motifs"),
                _("Parted by commas; with words about one, a line of its own: net: on poles."),
            ),
            **forms.fields_for_model(Face, ["value_as", "bust", "border"]),
            "designers": offered(_("Designed by"), "known-people", required=False),
            "engravers": offered(_("Engraved by"), "known-people", required=False),
            **forms.fields_for_model(Face, ["role"]),
        }
    return {f"{side}_{name}": one for name, one in made.items()}


def series_field(own: Series | None) -> forms.ModelChoiceField[Any]:
    """A choice among all series by country, those of one's own country first."""
    series: QuerySet[Any] = Series.objects.select_related("issuer").order_by(
        "issuer__name", "first_year"
    )
    field = forms.ModelChoiceField(
        series,
        label=_("Series"),
        required=False,
        help_text=_("Left to be found, it is the one of the country whose years hold the dates."),
    )
    groups: dict[str, list[tuple[int, str]]] = {own.issuer.name: []} if own else {}
    for record in series:
        groups.setdefault(record.issuer.name, []).append((record.pk, str(record)))
    field.widget.choices = [  # type: ignore[attr-defined]
        ("", _("Find it by the dates")),
        *((name, some) for name, some in groups.items() if some),
    ]
    return field


# ---- the folds ----
def _of(*sides: str, ask: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{side}_{name}" for side in sides for name in ask)


Names = tuple[str, ...]
_FOLDS: tuple[tuple[str, Promise, tuple[tuple[Promise | str, Names], ...]], ...] = (
    (
        "faces",
        gettext_lazy("Faces and legends"),
        (
            (gettext_lazy("Obverse"), _of("obverse", ask=FACE)),
            (gettext_lazy("Reverse"), _of("reverse", ask=FACE)),
        ),
    ),
    (
        "edge",
        gettext_lazy("Edge and alignment"),
        (("", (*EDGE, *_of("edge", ask=("description", "legends")))),),
    ),
    ("shape", gettext_lazy("Thickness, hole and centre"), (("", SHAPE),)),
    (
        "marks",
        gettext_lazy("Marks and people"),
        (
            ("", ("marks",)),
            (gettext_lazy("Who made its faces"), _of("obverse", "reverse", ask=_PEOPLE)),
        ),
    ),
    (
        "series",
        gettext_lazy("Name, series and law"),
        (("", (*WHAT, "series", "new_series", *YEARS)), (gettext_lazy("In law"), LAW)),
    ),
    ("sources", gettext_lazy("Sources and notes"), (("", SOURCES),)),
)


def folds(form: forms.ModelForm[Any]) -> Iterator[Fold]:
    """Everything beyond the first questions, by subject; open where a change finds something."""
    for key, heading, of in _FOLDS:
        groups = [
            Group(str(title), [form[name] for name in names if name in form.fields])
            for title, names in of
        ]
        fields = [field for group in groups for field in group.fields]
        wrong = any(field.errors for field in fields)
        told = [field for field in fields if field.name != "series"]  # every type has one
        stands = bool(form.instance.pk and holds(told))
        yield Fold(key, str(heading), groups, holds(fields) or _("nothing yet"), wrong or stands)


def holds(fields: list[forms.BoundField]) -> str:
    """What stands in some fields, in a few words; "" where nothing does."""
    lines: dict[str, int] = {}
    said: list[str] = []
    for field in fields:
        text = str("" if field.value() is None else field.value()).strip()
        kind = field.name.rpartition("_")[2]
        if not text or text == str(field.field.initial or ""):
            continue
        if kind in ("legends", "marks", "references", "citations"):
            count = sum(1 for line in text.splitlines() if line.strip())
            lines[kind] = lines.get(kind, 0) + count
        else:
            said += _said(field, kind, text)
    counted = [_counted(kind, count) for kind, count in lines.items()]
    parts = list(dict.fromkeys(counted + said))
    if len(parts) > _MOST_SAID:
        parts = [*parts[: _MOST_SAID - 1], _("and more")]
    return ", ".join(parts)


def _counted(kind: str, n: int) -> str:
    words = {
        "legends": ngettext("%(n)s legend", "%(n)s legends", n),
        "marks": ngettext("%(n)s mark", "%(n)s marks", n),
        "references": ngettext("%(n)s reference", "%(n)s references", n),
        "citations": ngettext("%(n)s source", "%(n)s sources", n),
    }
    return words[kind] % {"n": n}


_NAMED: dict[str, Callable[[str], list[str]]] = {
    "description": lambda text: [_("described")],
    "note": lambda text: [_("a note")],
    "name": lambda text: [f"“{text}”"],
    "new_series": lambda text: [f"“{text}”"],
}


def _said(field: forms.BoundField, kind: str, text: str) -> list[str]:
    if kind in ("motifs", *_PEOPLE):
        names = [line.partition(":")[0] for line in text.replace(";", "\n").splitlines()]
        return [name.strip() for line in names for name in line.split(",") if name.strip()]
    if field.name in _NAMED or kind in ("description", "note"):
        return _NAMED[field.name if field.name in _NAMED else kind](text)
    if field.name in read_by(TypeEntry, "edtf") and text != "..":
        return [f"{field.label} {in_words(text)}"]
    if choices := getattr(field.field.widget, "choices", None):
        offers: Any = flatten_choices(choices)
        return [next((str(words) for value, words in offers if str(value) == text), text)]
    if not text.replace(".", "").isdigit():
        return [text]
    name, _comma, unit = str(field.label).partition(", ")
    return [" ".join(filter(None, (name.lower(), text, unit)))]
