"""The form of the page "What is this?": every field may be left empty."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from series.identifying.evidence import CHOICES, FINEST
from series.identifying.table import TypeTable
from series.measuring.signs import HOW_TO_LISTEN, HOW_TO_USE_THE_MAGNET
from series.text.scripts import SEEN, script_name
from series.years.calendars import CALENDARS

MOST_SUGGESTED = 600
NOT_SAID = ("", _("not said"))
CHOICE_WORDS: Mapping[str, Any] = {
    "two-colour": _("two colours"),
    "centre only": _("pulls the centre only"),
    "magnet none": _("no pull"),
    "weak": _("a weak pull"),
    "strong": _("a strong pull"),
    "milled": _("milled (fine lines across)"),
    "interrupted": _("interrupted (lines, then a gap)"),
    "edge scalloped": _("scalloped or notched"),
    "grooved": _("grooved along its length"),
    "lettered": _("lettered"),
    "ornamented": _("ornamented"),
    "edge plain": _("plain (smooth)"),
    "rings ring and centre": _("ring and centre of two metals"),
}
"""What a choice is called where its own name says too little."""


class Asking(NamedTuple):
    """A field, the one that says how finely it was read, and how it is found out."""

    field: BoundField
    within: BoundField | None
    how: str


class Group(NamedTuple):
    """Fields that stand together; ``open`` where it is shown unfolded."""

    key: str
    title: str
    fields: list[Asking]
    given: int
    open: bool


GROUPS: Sequence[tuple[str, Any, tuple[str, ...]]] = (
    (
        "stands",
        _("What stands on it"),
        ("legend", "denomination", "year", "calendar", "script", "motif", "country"),
    ),
    ("shape", _("Its shape"), ("outline", "sides", "hole", "rings", "panel", "edge")),
    ("measures", _("Its measures"), ("diameter", "mass", "thickness")),
    ("metal", _("Its metal"), ("colour", "magnet", "sound")),
    ("water", _("Weighed in water"), ("water_how", "water", "temperature", "density")),
)
HOW_TO = {"magnet": HOW_TO_USE_THE_MAGNET, "sound": HOW_TO_LISTEN}
WATER = ("water_how", "water", "temperature")
"""What is asked for weighing in water beside the mass, which is the mass in air."""


def _text(label: Any, help_text: Any = "", **attrs: str) -> forms.CharField:
    attrs = {"autocomplete": "off"} | {k.replace("_", "-"): v for k, v in attrs.items()}
    return forms.CharField(
        label=label, help_text=help_text, required=False, widget=forms.TextInput(attrs)
    )


def _measure(label: Any, help_text: Any = "") -> forms.CharField:
    return _text(label, help_text, inputmode="decimal", maxlength="20")


def _choice(label: Any, name: str, help_text: Any = "") -> forms.CharField:
    words = [
        (each, CHOICE_WORDS.get(f"{name} {each}") or CHOICE_WORDS.get(each) or each)
        for each in CHOICES[name]
    ]
    return _select(label, words, help_text)


def _select(label: Any, choices: Sequence[tuple[str, Any]], help_text: Any = "") -> forms.CharField:
    return forms.CharField(
        label=label,
        help_text=help_text,
        required=False,
        widget=forms.Select(choices=[NOT_SAID, *choices]),
    )


class IdentifyForm(forms.Form):
    """The fields as texts; they are read by ``series.identifying.evidence``, not here."""

    use_required_attribute = False

    legend = _text(
        _("Letters you can read"),
        _("Parts of it in any order; ? for each letter you cannot read."),
        dir="auto",
        spellcheck="false",
        placeholder="LIB?RTY",
    )
    denomination = _text(_("Value"), _("In figures or words."), placeholder="25", dir="auto")
    year = _text(
        _("Date"),
        _("As it stands, in any script; ? for a figure you cannot read."),
        placeholder="19?8",
        dir="auto",
        data_figures="",
    )
    calendar = _select(_("Calendar of the date"), [(n, f"{n}: {w}") for n, w in CALENDARS.items()])
    script = _select(_("Script"), [(name, name) for name in sorted(map(script_name, SEEN))])
    motif = _text(_("What is shown"), _("Several parted by commas."), list="motif-names")
    country = _text(_("Country, a guess"), _("Several parted by commas."), list="country-names")
    outline = _choice(_("Outline"), "outline")
    sides = _text(
        _("How many sides"), _("Or scallops, or notches."), inputmode="numeric", maxlength="3"
    )
    hole = _choice(_("Hole"), "hole")
    rings = _choice(_("Build"), "rings")
    panel = _choice(_("Panel around the design"), "panel")
    edge = _choice(_("Edge"), "edge")
    diameter = _measure(_("Diameter, mm"), _("Across the widest part."))
    mass = _measure(_("Mass, g"))
    thickness = _measure(_("Thickness, mm"), _("At the rim."))
    density = _measure(_("Density, g/cm³"), _("If you know it already."))
    diameter_within = _measure(_("Diameter read to within, mm"))
    mass_within = _measure(_("Mass read to within, g"))
    thickness_within = _measure(_("Thickness read to within, mm"))
    density_within = _measure(_("Density known to within, g/cm³"))
    colour = _choice(_("Colour"), "colour")
    magnet = _choice(_("A magnet"), "magnet")
    sound = _choice(_("Sound when tapped"), "sound")
    water_how = forms.CharField(
        label=_("It hangs"),
        required=False,
        widget=forms.Select(
            choices=[
                ("hanging", _("from the scale")),
                ("beaker", _("in a beaker on it")),
            ]
        ),
    )
    water = _measure(
        _("The scale then reads, g"),
        _("Set it to zero with the thread, or with the beaker of water, before."),
    )
    temperature = _measure(_("Water, °C"), _("Left empty: 20, give or take 3."))

    def __init__(self, texts: Mapping[str, str], errors: Mapping[str, str]) -> None:
        super().__init__({name: texts.get(name, "") for name in self.base_fields})
        for name, sentence in errors.items():
            self.add_error(name, sentence)
        for name, field in self.fields.items():
            attrs = field.widget.attrs
            attrs["aria-describedby"] = f"{name}-said"
            if name == "year" and not any(map(str.isalpha, texts.get(name, ""))):
                attrs["class"] = "as-figures"
            if name.endswith("_within"):
                attrs["placeholder"] = f"{FINEST[name.removesuffix('_within')]:g}"
            if isinstance(field.widget, forms.Select):
                text = texts.get(name, "")
                if text and text not in dict(field.widget.choices):
                    field.widget.choices = [*field.widget.choices, (text, text)]

    def groups(self, first_visit: bool) -> list[Group]:
        """The groups of fields; those with something in them are open, and at first the two
        that tell most."""
        found = []
        for key, title, names in GROUPS:
            said = [name for name in names if self.data.get(name) and name != "water_how"]
            wrong = any(self[name].errors for name in names)
            opened = bool(said) or wrong or key == "stands" or (first_visit and key == "measures")
            found.append(Group(key, title, list(map(self._asking, names)), len(said), opened))
        return found

    def _asking(self, name: str) -> Asking:
        within = f"{name}_within"
        return Asking(
            self[name], self[within] if within in self.fields else None, HOW_TO.get(name, "")
        )


def suggestions(table: TypeTable) -> dict[str, list[str]]:
    """Names to choose from while typing a motif or a country."""
    countries = sorted({name for name, *_names in table.country.things})
    return {
        "motifs": sorted(set(table.motifs.things))[:MOST_SUGGESTED],
        "countries": countries[:MOST_SUGGESTED],
    }
