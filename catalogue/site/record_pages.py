"""What the pages of single records have in common: whose they are, saving, the bin."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from catalogue import access

if TYPE_CHECKING:
    from django.db.models import Model, QuerySet

    from series.forms import RecordForm
    from series.records import Record

M = TypeVar("M", bound="Model")


def own_or_404(request: HttpRequest, records: QuerySet[M], pk: int) -> M:
    """One of the viewer's own among the records; whatever is another's is not there."""
    return get_object_or_404(access.owned(records, request.user), pk=pk)


def saved(request: HttpRequest, form: RecordForm, words: str) -> bool:
    """Whether a form was sent and is saved, which the next page then says in these words."""
    if request.method != "POST" or not form.is_valid() or not form.save_checked():
        return False
    if words:
        messages.success(request, words)
    return True


def into_bin(request: HttpRequest, record: Record, words: str, to: Any) -> HttpResponse:
    """Put a record into the bin, and go on to another page, which says so."""
    record.bin()
    messages.success(request, words)
    return redirect(to)
