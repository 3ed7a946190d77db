"""What is asked for before cards, the plan of a case and captions are made."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from catalogue.models import Member
from catalogue.talks.handing_out.card_type import FARTHEST, NEAREST
from catalogue.talks.handing_out.cues import MarksProblem, marks


class CardsForm(forms.Form):
    """From how far cards are read, by whom, and on what they are printed."""

    distance = forms.IntegerField(
        label=gettext_lazy("Read from a distance of, cm"),
        min_value=int(NEAREST / 10),
        max_value=int(FARTHEST / 10),
        initial=50,
        help_text=gettext_lazy("From the eye to the card; through a case about 50."),
    )
    readable = forms.ChoiceField(
        label=gettext_lazy("Type"),
        choices=[
            ("accessible", gettext_lazy("for everybody")),
            ("legible", gettext_lazy("just legible")),
        ],
    )
    paper = forms.ChoiceField(label=gettext_lazy("Paper"), choices=Member.Paper.choices)

    def parameters(self, talk: int) -> dict[str, Any]:
        """Plain values for the sheet; call it on a valid form."""
        return {"talk": talk, **self.cleaned_data}


class CaseForm(CardsForm):
    """The inner size of a case, and what lies in it."""

    case_width = forms.DecimalField(
        label=gettext_lazy("Inner width of a tray, mm"), min_value=50, max_value=5000
    )
    case_depth = forms.DecimalField(
        label=gettext_lazy("Inner depth of a tray, mm"), min_value=50, max_value=5000
    )
    trays = forms.IntegerField(
        label=gettext_lazy("Trays there are"),
        required=False,
        min_value=1,
        max_value=200,
        help_text=gettext_lazy("Left empty, as many as are needed."),
    )
    faces = forms.ChoiceField(
        label=gettext_lazy("Of each coin"),
        choices=[
            ("both", gettext_lazy("both faces")),
            ("reverse", gettext_lazy("the reverse")),
            ("obverse", gettext_lazy("the obverse")),
        ],
    )
    cards = forms.ChoiceField(
        label=gettext_lazy("Beneath each coin"),
        choices=[
            ("cards", gettext_lazy("its card")),
            ("numbers", gettext_lazy("a number alone")),
        ],
    )

    field_order = ("case_width", "case_depth", "trays", "faces", "cards")

    def parameters(self, talk: int) -> dict[str, Any]:
        said = super().parameters(talk)
        sizes = {name: float(said[name]) for name in ("case_width", "case_depth")}
        return {**said, **sizes, "trays": said["trays"] or 0}


class CaptionsForm(forms.Form):
    """What is written under a recording, and when."""

    written = forms.ChoiceField(
        label=gettext_lazy("What is written"),
        choices=[
            ("captions", gettext_lazy("heading and caption of each stop")),
            ("notes", gettext_lazy("what you say: the notes of each stop")),
        ],
    )
    marks_text = forms.CharField(
        label=gettext_lazy("Marks of your recording"),
        required=False,
        max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text=gettext_lazy(
            "The time at which each stop begins, one on a line: 1:12, 1:12.5 or 1:02:03. After "
            "them, if you like, when the last one ends. Left empty, the talk's own times are taken."
        ),
    )

    def __init__(self, *args: Any, stops: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stops = stops

    def clean_marks_text(self) -> str:
        text: str = self.cleaned_data["marks_text"]
        self.marks: list[int] = []
        if text.strip():
            try:
                self.marks = marks(text, self.stops)
            except MarksProblem as problem:
                raise forms.ValidationError(str(problem)) from problem
        return text
