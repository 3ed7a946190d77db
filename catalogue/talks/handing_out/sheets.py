"""The papers of a talk: hand-out, case cards and the plan of a case, each with its page.

All of them are drawn from the plain form of the talk, in which nothing private of a piece stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.http import HttpResponse

from catalogue import access
from catalogue.models import Member, Talk
from catalogue.printing.geometry import PAPERS, Paper
from catalogue.printing.responses import Order, SheetPage
from catalogue.printing.sheets import Parameters, Progress, pdf_of, silent
from catalogue.site.record_pages import own_or_404
from catalogue.talks.doors import PaperDoor
from catalogue.talks.handing_out import case_plan, words
from catalogue.talks.handing_out.card_type import CARD, LINE_LEAST, sizes_for
from catalogue.talks.handing_out.cards import CardSheet, Remark, lay_cards
from catalogue.talks.handing_out.faces import art_of, coins_of
from catalogue.talks.handing_out.forms import CardsForm, CaseForm
from catalogue.talks.handing_out.handout import lay_handout
from catalogue.talks.queries import shown_talk
from catalogue.talks.shown import ShownTalk
from series.picture.pictures import printed_picture

STOPS_AT_ONCE = 60


def talk_on_paper(owner: Member, parameters: Parameters) -> ShownTalk:
    """The owner's talk with the id ``talk``; its pictures are named by their digests."""
    found = access.owned(Talk.objects.all(), owner).get(pk=parameters["talk"])
    return shown_talk(found, PaperDoor())


def _paper(parameters: Parameters) -> Paper:
    return PAPERS[str(parameters.get("paper", "A4"))]


def _picture(digest: str) -> bytes | None:
    try:
        return printed_picture(digest)
    except OSError:
        return None


def draw_handout(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """The hand-out of the owner's ``talk`` on ``paper``."""
    talk = talk_on_paper(owner, parameters)
    pages = lay_handout(talk, _paper(parameters))
    art = art_of(talk, _picture, 1, lambda done: progress(done, len(talk.stops)))
    return pdf_of(pages, words.hand_out(talk.title), art.coins, images=art.images)


def draw_cards(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """Cards for the ``talk``, read from ``distance`` cm, in type that is ``readable``."""
    talk = talk_on_paper(owner, parameters)
    sheet = cards_asked_for(talk, parameters)
    progress(len(talk.stops), len(talk.stops))
    return pdf_of(sheet.pages, words.cards_of(talk.title))


def draw_case(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """The plan of trays of ``case_width`` × ``case_depth`` mm for the ``talk``."""
    talk = talk_on_paper(owner, parameters)
    inner, paper = _inner(parameters), _paper(parameters)
    units = units_of(talk, parameters)
    pages = case_plan.lay_case(talk.title, units, inner, paper, int(parameters["trays"]))
    scale = case_plan.scale_for(inner, case_plan.paper_for(inner, paper))
    art = art_of(talk, _picture, scale, lambda done: progress(done, len(talk.stops)))
    return pdf_of(pages, words.case_of(talk.title), art.coins, images=art.images)


def cards_asked_for(talk: ShownTalk, parameters: Parameters) -> CardSheet:
    sizes = sizes_for(float(parameters["distance"]) * 10, CARD)
    size = sizes.accessible if parameters["readable"] == "accessible" else sizes.legible
    return lay_cards(talk, size, _paper(parameters))


def units_of(talk: ShownTalk, parameters: Parameters) -> list[case_plan.Unit]:
    """What lies in the case; opening pages have a card and no coin, or no place without cards."""
    sizes: dict[int, tuple[float, float]] = {}
    if parameters["cards"] == "cards":
        for card in cards_asked_for(talk, parameters).cards:
            high = sizes.get(card.number, (0.0, 0.0))[1]
            sizes[card.number] = (card.width, high + card.height)
    units = []
    for stop in talk.stops:
        coins = coins_of(stop)
        if parameters["faces"] != "both":
            coins = tuple(coin for coin in coins if coin.face.side == parameters["faces"])
        if coins or sizes:
            number = stop.number + 1
            units.append(
                case_plan.Unit(
                    number,
                    stop.heading,
                    tuple(coin.width for coin in coins),
                    sizes.get(number, case_plan.TAG),
                    tuple(coin.key for coin in coins),
                )
            )
    return units


def _inner(parameters: Parameters) -> case_plan.Inner:
    return case_plan.Inner(float(parameters["case_width"]), float(parameters["case_depth"]))


class TalkSheetPage(SheetPage):
    """A paper of a talk of one's own; what should be known first is said, and drawn on asking."""

    said: Any = None

    @cached_property
    def talk(self) -> Talk:
        return own_or_404(self.request, Talk.objects.all(), self.kwargs["pk"])

    @property
    def anyway(self) -> bool:
        return self.request.POST.get("do") == "anyway"

    def sheet(self, title: str, parameters: Parameters) -> Order:
        return Order(title, parameters, self.talk.stops.count(), STOPS_AT_ONCE)


class HandoutPage(TalkSheetPage):
    """The hand-out of a talk, on the owner's paper or on ``?paper=``."""

    kind = "handout"
    name = "talk-handout"
    route = "talks/<number:pk>/handout/"
    draw = staticmethod(draw_handout)

    def order(self, form: None) -> Order:
        asked = self.request.GET.get("paper", "")
        paper = asked if asked in PAPERS else self.owner.paper
        return self.sheet(words.hand_out(self.talk.title), {"talk": self.talk.pk, "paper": paper})


@dataclass(frozen=True)
class CardsSaid:
    """What should be known before cards are printed."""

    remarks: tuple[Remark, ...]
    narrow: str

    @property
    def anything(self) -> bool:
        return bool(self.remarks or self.narrow)


class CardsPage(TalkSheetPage):
    """Cards for an exhibition of a talk."""

    kind = "case-cards"
    name = "talk-cards"
    route = "talks/<number:pk>/cards/"
    draw = staticmethod(draw_cards)
    template = "talks/cards.html"

    def form(self) -> CardsForm:
        return CardsForm(self.request.POST or None, initial={"paper": self.owner.paper})

    def context(self) -> dict[str, Any]:
        return {"talk": self.talk, "said": self.said, "sizes": self.sizes}

    @property
    def sizes(self) -> str:
        """The sizes of type for the distance that is asked for, in words."""
        form = self.form()
        asked = (
            form.cleaned_data["distance"] if form.is_valid() else form.fields["distance"].initial
        )
        sizes = sizes_for(float(asked) * 10, CARD)
        return words.both_sizes(sizes.distance, sizes.accessible, sizes.legible)

    def order(self, form: CardsForm) -> Order | HttpResponse | None:
        parameters = form.parameters(self.talk.pk)
        sheet = cards_asked_for(shown_talk(self.talk, PaperDoor()), parameters)
        narrow = words.short_lines(sheet.narrow, LINE_LEAST) if sheet.narrow else ""
        said = CardsSaid(sheet.remarks, narrow)
        if said.anything and not self.anyway:
            self.said = said
            return None
        return self.sheet(words.cards_of(self.talk.title), parameters)


class CasePage(TalkSheetPage):
    """The plan of a case for a talk."""

    kind = "case-plan"
    name = "talk-case"
    route = "talks/<number:pk>/case/"
    draw = staticmethod(draw_case)
    template = "talks/case.html"

    def form(self) -> CaseForm:
        return CaseForm(self.request.POST or None, initial={"paper": self.owner.paper})

    def context(self) -> dict[str, Any]:
        return {"talk": self.talk, "said": self.said}

    def order(self, form: CaseForm) -> Order | HttpResponse | None:
        parameters = form.parameters(self.talk.pk)
        inner = _inner(parameters)
        case_plan.scale_for(inner, case_plan.paper_for(inner, _paper(parameters)))
        units = units_of(shown_talk(self.talk, PaperDoor()), parameters)
        self.said = case_plan.said_of(case_plan.fill(units, inner), parameters["trays"])
        if self.said and not self.anyway:
            return None
        return self.sheet(words.case_of(self.talk.title), parameters)
