"""The queue of proposals, one proposal, and the joining of doubles."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from catalogue import access
from catalogue.curation import proposals
from catalogue.curation.models import Proposal
from catalogue.curation.text_fields import box, offered
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding, Member
from series.models import CoinType
from series.types.joining import JoinRefused

A_PAGE = 40
MOST_CHOICES = 200
ALIKE_SHOWN = 3


ANSWER = gettext_lazy("Answer to the proposer")


class AnswerForm(forms.Form):
    answer = box(ANSWER, rows=3, prose=True)


class JoinForm(forms.Form):
    """Which type to keep: one of those most alike, or any other by its key."""

    keep = offered(
        gettext_lazy("The type to keep"),
        "types-to-keep",
        gettext_lazy(
            "The key of a type: the last part of its page’s address. Those of the same "
            "denomination are offered."
        ),
        max_length=120,
    )
    take = forms.BooleanField(
        label=gettext_lazy("Take over what this one says"),
        required=False,
        help_text=gettext_lazy(
            "Its measures, faces, law and literature, where it says something; otherwise the type "
            "to keep stays as it is."
        ),
    )
    answer = box(ANSWER, prose=True)

    def __init__(self, *args: object, gone: CoinType, viewer: Member, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.gone, self.viewer = gone, viewer

    def clean_keep(self) -> CoinType:
        key = self.cleaned_data["keep"].strip().strip("/").rpartition("/")[2]
        found = access.visible_types(self.viewer).filter(key=key).first()
        if found is None:
            raise forms.ValidationError(
                _("There is no type with the key “%(key)s”: copy it from its page’s address.")
                % {"key": key}
            )
        if found.pk == self.gone.pk:
            raise forms.ValidationError(
                _("A type cannot be joined to itself: choose the other one.")
            )
        return found


@require_safe
def curation(request: MemberRequest) -> HttpResponse:
    """Proposals: to curators all of them, to a member their own and what became of each."""
    page = Paginator(proposals.seen_by(request.user), A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "curates": access.may_curate(request.user)}
    return render(request, "curation/curation.html", context)


@require_http_methods(["GET", "POST"])
def proposal(request: MemberRequest, pk: int) -> HttpResponse:
    """One proposal beside the types it is most like; a curator accepts it or sends it back."""
    viewer = request.user
    found = get_object_or_404(proposals.seen_by(viewer).select_related("decided_by"), pk=pk)
    decides = access.may_curate(viewer)
    form = AnswerForm(request.POST or None)
    if request.method == "POST":
        if not decides:
            raise PermissionDenied
        if form.is_valid() and _decide(request, found, viewer, form):
            return redirect("curation")
    alike = proposals.likenesses(found.coin_type)[:ALIKE_SHOWN]
    context = {
        "proposal": found,
        "form": form,
        "alike": alike,
        "types": [found.coin_type, *(one.coin_type for one in alike)],
        "decides": decides and found.state == Proposal.State.WAITING,
        "may_edit": access.may_edit_type(viewer, found.coin_type),
    }
    return render(request, "curation/proposal.html", context)


def _decide(request: MemberRequest, found: Proposal, viewer: Member, form: AnswerForm) -> bool:
    answer: str = form.cleaned_data["answer"].strip()
    decision = request.POST.get("decision")
    try:
        if decision == "accept":
            proposals.accept(found, viewer, answer)
            messages.success(request, _("The type stands in the catalogue."))
            return True
        if decision == "back":
            if not answer:
                form.add_error("answer", _("Say what is missing, so that it can be mended."))
                return False
            proposals.send_back(found, viewer, answer)
            messages.success(request, _("It is sent back with your answer."))
            return True
    except proposals.Decided:
        messages.error(request, _("Someone has decided on it meanwhile."))
        return True
    form.add_error(None, _("Choose what to do with it."))
    return False


@require_http_methods(["GET", "POST"])
def type_join(request: MemberRequest, key: str) -> HttpResponse:
    """Join a double to the type that is kept; all that members have of it goes along."""
    viewer = request.user
    types = access.visible_types(viewer).select_related("denomination", "series__issuer")
    gone = get_object_or_404(types, key=key)
    if not access.may_curate(viewer):
        raise PermissionDenied
    initial = {"keep": request.GET.get("keep", "")}
    form = JoinForm(request.POST or None, gone=gone, viewer=viewer, initial=initial)
    if request.method == "POST" and form.is_valid():
        kept: CoinType = form.cleaned_data["keep"]
        try:
            answer: str = form.cleaned_data["answer"].strip()
            proposals.join(gone, kept, viewer, answer, take=form.cleaned_data["take"])
        except JoinRefused as refused:
            form.add_error("keep", str(refused))
        else:
            messages.success(request, _("The two are one type now; every piece went along."))
            return redirect(kept)
    choices = types.filter(
        series__issuer=gone.series.issuer_id, denomination__name=gone.denomination.name
    ).exclude(pk=gone.pk)[:MOST_CHOICES]
    context = {
        "gone": gone,
        "form": form,
        "choices": choices,
        "has_proposal": Proposal.objects.filter(coin_type=gone).exists(),
        "held": Holding.objects.filter(coin_type=gone).exists(),
    }
    return render(request, "curation/join.html", context)
