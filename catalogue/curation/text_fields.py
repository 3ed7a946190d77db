"""Fields of forms that are written as texts, and the form that reads them into parts."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from django import forms

from series.dates.edtf import DateError, parse_edtf
from series.entries.columns import columns, read_by
from series.forms import Difference, RecordForm
from series.metal.alloys import CompositionError
from series.money.units import AmountError
from series.records import Record
from series.types.lines import LineError

UNREADABLE = (AmountError, CompositionError, DateError, LineError)


def box(label: Any, help_text: Any = "", rows: int = 2, *, prose: bool = False) -> forms.CharField:
    """Lines in a notation of ours, which no dictionary knows; or prose, which one may mend."""
    spelling = {} if prose else {"spellcheck": "false"}
    widget = forms.Textarea(attrs={"rows": rows, **spelling})
    return forms.CharField(label=label, help_text=help_text, required=False, widget=widget)


def offered(label: Any, names: str, help_text: Any = "", **more: Any) -> forms.CharField:
    """A line for which the page offers the names in its list ``names``."""
    widget = forms.TextInput(attrs={"list": names, "autocomplete": "off"})
    return forms.CharField(label=label, help_text=help_text, widget=widget, **more)


class TextsForm(RecordForm):
    """A record's form, some of whose fields are texts about what stands beside the record."""

    def read(self, name: str, reader: Callable[[Any], Any]) -> None:
        """Read what a field says; what cannot be read is an error of that field."""
        if name in self.cleaned_data:
            try:
                self.cleaned_data[name] = reader(self.cleaned_data[name])
            except UNREADABLE as error:
                self.add_error(name, str(error))

    def read_dates(self, entry: type) -> None:
        """Read the fields that hold a date in EDTF; ``..`` stands where the column may be open."""
        for name in read_by(entry, "edtf"):
            self.read(name, partial(_edtf, **columns(entry)[name].limits))

    def stored_texts(self, current: Record) -> dict[str, str]:
        """What the texts of the form would say of the record as it is stored now."""
        return {}

    def _show_both(self, current: Record) -> None:
        super()._show_both(current)
        for name, stored in self.stored_texts(current).items():
            yours = str(self.data.get(self.add_prefix(name), "")).replace("\r\n", "\n").strip()
            if name in self.fields and stored.strip() != yours:
                self.stale.append(Difference(self.label_of(name), stored, yours))

    def label_of(self, name: str) -> str:
        return str(self.fields[name].label)


def _edtf(text: str, longest: int, open_end: bool) -> str:
    return text if not text or (open_end and text == "..") else str(parse_edtf(text))
