"""Forms of a talk: what it is called, a new one of a selection, one stop, stops to add."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.models import Holding, Photo, Stop, Talk
from catalogue.talks.proposing import MOST_STOPS, WHICH, TooManyStops
from series.forms import ManyRecords, RecordForm
from series.models import CoinType

MOST_NUMBERS = 200
QUARTERS = 4

ORDERS = (
    ("ladder", gettext_lazy("down the ladder: each denomination through its series")),
    ("series", gettext_lazy("series by series, the smallest value first")),
    ("date", gettext_lazy("by date")),
    ("size", gettext_lazy("by size, the smallest first")),
    ("metal", gettext_lazy("by metal")),
    ("motif", gettext_lazy("by what is shown")),
)


class TypesNotHeld(ManyRecords):
    """Types to tick, each called by its series and years."""

    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, obj: Any) -> str:
        years = "–".join(str(y) for y in dict.fromkeys((obj.first_year, obj.last_year)) if y)
        return ", ".join(part for part in (str(obj), obj.series.name, years) if part)


class TalkForm(RecordForm):
    class Meta:
        model = Talk
        fields = ["title", "given_by", "minutes", "look_seconds", "hall", "says_worth"]


class NewTalkForm(TalkForm):
    """Also asks which pieces, in which order, and what stands between them."""

    which = forms.ChoiceField(
        label=gettext_lazy("Which pieces"), widget=forms.RadioSelect, choices=WHICH, initial="best"
    )
    order = forms.ChoiceField(
        label=gettext_lazy("In which order"), choices=ORDERS, initial="ladder"
    )
    openings = forms.BooleanField(
        label=gettext_lazy("With a page for each country and each money, where it begins"),
        required=False,
        initial=True,
    )
    missing = TypesNotHeld(
        label=gettext_lazy("Types you do not hold, shown as gaps"),
        queryset=CoinType.objects.none(),
        required=False,
    )

    class Meta(TalkForm.Meta):
        fields = ["title", "given_by", "minutes"]

    def __init__(
        self, *args: Any, missing: list[CoinType], counts: dict[str, int], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        which: Any = self.fields["which"]
        which.choices = [(name, f"{words} ({counts[name]})") for name, words in WHICH]
        usual = [t.pk for t in missing if t.purpose == CoinType.Purpose.CIRCULATING]
        self.initial["given_by"] = self.instance.owner.name
        self.initial["missing"] = usual
        _offer(self, "missing", missing)


def _offer(form: forms.BaseForm, name: str, types: list[CoinType]) -> None:
    """Types to tick in a field, which shows nothing where there are none."""
    field: Any = form.fields[name]
    if not types:
        field.widget = forms.MultipleHiddenInput()
    field.queryset = CoinType.objects.filter(pk__in=[each.pk for each in types]).select_related(
        "denomination", "series"
    )
    field.queryset = field.queryset.order_by("series__first_year", "denomination__sort_value")


class StopForm(RecordForm):
    """What is said and shown at one stop."""

    picture_of = forms.CharField(
        label=gettext_lazy("Picture beside it"),
        required=False,
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off", "placeholder": "2026.001"}),
        help_text=gettext_lazy("The number of a piece of yours that is photographed."),
    )
    picture_side = forms.ChoiceField(
        label=gettext_lazy("Which photograph"), required=False, choices=Photo.Side.choices
    )

    class Meta:
        model = Stop
        fields = [
            "heading", "caption", "notes", "look_seconds",
            "light_side", "light_clock", "light_radius", "shown", "though_private",
        ]  # fmt: skip
        widgets = {
            "notes": forms.Textarea(attrs={"rows": 14}),
            "caption": forms.Textarea(attrs={"rows": 2}),
            "light_clock": forms.NumberInput(attrs={"step": "0.25"}),
        }
        help_texts = {
            "notes": gettext_lazy("For you alone. An empty line begins a new paragraph."),
        }

    def __init__(self, *args: Any, private: bool, usual: dict[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stop = self.instance
        for name, words in usual.items():
            self.fields[name].widget.attrs["placeholder"] = words
        if not private:
            del self.fields["though_private"]
        if stop.kind in Stop.COINS:
            del self.fields["picture_of"], self.fields["picture_side"]
            side: Any = self.fields["light_side"]
            side.choices = [("", _("where the notes point")), *list(side.choices)[1:]]
        else:
            for name in ("light_side", "light_clock", "light_radius"):
                del self.fields[name]
            if stop.photo is not None:
                self.initial["picture_of"] = stop.photo.holding.accession
                self.initial["picture_side"] = stop.photo.side

    def clean_light_clock(self) -> Decimal | None:
        clock: Decimal | None = self.cleaned_data["light_clock"]
        if clock is not None and clock * QUARTERS % 1:
            raise forms.ValidationError(
                _("Give whole hours and quarters, such as 6 or 6.25 for a quarter past six.")
            )
        return clock

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        if "light_side" in self.fields:
            side, clock = self.cleaned_data.get("light_side"), self.cleaned_data.get("light_clock")
            if side and clock is None and "light_clock" not in self.errors:
                self.add_error("light_clock", _("Say at which hour of the clock, 12 at the top."))
            if clock is not None and not side:
                self.add_error("light_side", _("Choose the side that the light falls on."))
        if "picture_of" in self.fields:
            self.instance.photo = self._photo()
        return cleaned

    def _photo(self) -> Photo | None:
        number = self.cleaned_data.get("picture_of", "").strip()
        if not number:
            return None
        own = access.own_holdings(self.instance.talk.owner)
        piece: Holding | None = own.filter(accession=number).first()
        if piece is None:
            self.add_error(
                "picture_of", _("You have no piece with the number %(n)s.") % {"n": number}
            )
            return None
        side = self.cleaned_data.get("picture_side") or Photo.Side.OBVERSE
        photo = Photo.objects.filter(holding=piece, side=side).order_by("position", "pk").first()
        if photo is None:
            said = _("%(n)s has no such photograph. Choose another side, or add one first.")
            self.add_error("picture_side", said % {"n": number})
        return photo


class AddStopsForm(forms.Form):
    """What to put into a talk, and after which stop."""

    after = forms.IntegerField(
        label=gettext_lazy("After stop"),
        required=False,
        min_value=0,
        max_value=MOST_STOPS,
        help_text=gettext_lazy("Left empty, at the end; 0 puts it first."),
    )
    heading = forms.CharField(
        label=gettext_lazy("A line of text"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("Its notes, and a picture beside it, are added on its own page."),
    )
    numbers = forms.CharField(
        label=gettext_lazy("Pieces by accession number"),
        required=False,
        max_length=4000,
        widget=forms.TextInput(attrs={"autocomplete": "off", "placeholder": "2026.001, 2026.004"}),
        help_text=gettext_lazy("Several with commas between them, in the order they are shown."),
    )
    pages = forms.MultipleChoiceField(
        label=gettext_lazy("Opening pages"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    missing = TypesNotHeld(
        label=gettext_lazy("Types you do not hold, shown as gaps"),
        queryset=CoinType.objects.none(),
        required=False,
    )

    def __init__(
        self,
        *args: Any,
        talk: Talk,
        pages: list[tuple[str, str]],
        missing: list[CoinType],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.talk = talk
        choices: Any = self.fields["pages"]
        choices.choices = pages
        if not pages:
            del self.fields["pages"]
        _offer(self, "missing", missing)

    def clean_numbers(self) -> list[int]:
        asked = [text.strip() for text in self.cleaned_data["numbers"].split(",")]
        asked = list(dict.fromkeys(text for text in asked if text))
        if len(asked) > MOST_NUMBERS:
            raise forms.ValidationError(
                _("Give at most %(n)d numbers at once.") % {"n": MOST_NUMBERS}
            )
        own = access.own_holdings(self.talk.owner).filter(accession__in=asked)
        found = dict(own.values_list("accession", "pk"))
        unknown = [number for number in asked if number not in found]
        if unknown:
            said = _("You have no piece with the number %(numbers)s.")
            raise forms.ValidationError(said % {"numbers": ", ".join(unknown)})
        return [found[number] for number in asked]

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        if not self.errors and not self.stops():
            raise forms.ValidationError(_("Say what to add: a text, pieces, or tick a page."))
        if not self.errors and (total := self.talk.stops.count() + len(self.stops())) > MOST_STOPS:
            raise forms.ValidationError(str(TooManyStops(total)))
        return cleaned

    def stops(self) -> list[Stop]:
        """What was asked for as stops, not saved: pages, text, pieces, gaps."""
        said = self.cleaned_data
        made = [_page(choice) for choice in said.get("pages", ())]
        if said.get("heading"):
            made.append(Stop(kind=Stop.Kind.TEXT, heading=said["heading"]))
        made += [Stop(kind=Stop.Kind.PIECE, holding_id=pk) for pk in said.get("numbers", ())]
        made += [Stop(kind=Stop.Kind.TYPE, coin_type=each) for each in said.get("missing", ())]
        return made


def _page(choice: str) -> Stop:
    kind, _colon, pk = choice.partition(":")
    return Stop(kind=kind, **{f"{Stop.RECORD[kind]}_id": int(pk)})
