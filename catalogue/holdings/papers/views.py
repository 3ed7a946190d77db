"""Adding, fetching and removing papers of one's own holdings."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.holdings.papers.receipts import ReceiptRefused, add_receipt, remove_receipt
from catalogue.holdings.requested import own_holding
from catalogue.members.requests import MemberRequest


class ReceiptUpload(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("Paper"),
        help_text=gettext_lazy("An invoice, an old ticket: PDF, JPEG, PNG or WebP up to 10 MB."),
        widget=forms.ClearableFileInput(
            attrs={"accept": "application/pdf,image/jpeg,image/png,image/webp"}
        ),
    )
    name = forms.CharField(
        label=gettext_lazy("Name"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("Left empty, it keeps the name of the file."),
    )


@require_http_methods(["GET", "POST"])
def receipt_add(request: MemberRequest, pk: int) -> HttpResponse:
    holding = own_holding(request, pk)
    form = ReceiptUpload(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        try:
            made = add_receipt(holding, file, form.cleaned_data["name"] or file.name)
        except ReceiptRefused as refused:
            form.add_error("file", str(refused))
        else:
            messages.success(request, _("%(name)s is kept with it.") % {"name": made.name})
            return redirect(holding)
    return render(request, "holdings/receipt_form.html", {"form": form, "holding": holding})


@cache_control(private=True, no_store=True)
@require_safe
def receipt(request: MemberRequest, pk: int) -> HttpResponseBase:
    """The file itself, to the owner alone, always as a download."""
    found = get_object_or_404(access.own_receipts(request.user), pk=pk)
    try:
        file = default_storage.open(found.file, "rb")
    except FileNotFoundError as error:
        raise Http404 from error
    return FileResponse(
        file, as_attachment=True, filename=found.name, content_type=found.content_type
    )


@require_POST
def receipt_remove(request: MemberRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(access.own_receipts(request.user).select_related("holding"), pk=pk)
    remove_receipt(found)
    messages.success(request, _("%(name)s is removed for good.") % {"name": found.name})
    return redirect(found.holding)
