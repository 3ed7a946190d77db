"""What quick entry shows of the coin that was chosen, and says of the date that was typed."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q, Sum, prefetch_related_objects
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue import access
from catalogue.holdings.browse.plates import Run, date_runs, trimmed_pictures
from catalogue.holdings.dates.read import DateRead
from catalogue.models import Aim, Holding, Member, Want
from catalogue.wants.gaps import GAP, UPGRADE, items, scope_issues
from series.dates.words import in_words
from series.metal.material import metal_words
from series.models import CoinType, Face, Issue
from series.text.english import some_of
from series.text.words import grams, mm, years_text
from series.types.drawn import width_mm

FACE_PX = 170
LINE_PX = 32
WANTED_MOST = 6


@dataclass(frozen=True)
class ChosenCoin:
    """A type with its dates, and what its viewer holds and wants of it."""

    run: Run
    pieces: int
    wanted: list[str]

    @property
    def type(self) -> CoinType:
        return self.run.coin_type

    @property
    def years(self) -> str:
        return years_text(self.type.first_year, self.type.last_year, short=False)

    @property
    def face_scale(self) -> float:
        """Pixels to the millimetre at which a face is as wide as the page has room for."""
        return FACE_PX / width_mm(self.type)

    @property
    def faces(self) -> list[Face]:
        """Obverse and reverse, as far as they are described (prefetched)."""
        return [face for face in self.type.faces.all() if face.side != "edge"]

    @property
    def measures(self) -> str:
        """ "copper-nickel, 5.4 g, 23.5 mm", as far as it is recorded."""
        parts = [metal_words(self.type.metal), grams(self.type.mass_g), mm(self.type.diameter_mm)]
        return ", ".join(part for part in parts if part)

    @property
    def held_words(self) -> str:
        """ "You hold 14 pieces, 12 of 20 dates." """
        if not self.pieces:
            return _("You hold none yet.")
        pieces = ngettext("%(n)d piece", "%(n)d pieces", self.pieces) % {"n": self.pieces}
        if not self.run.struck:
            return _("You hold %(pieces)s.") % {"pieces": pieces}
        return ngettext(
            "You hold %(pieces)s, %(held)d of %(n)d date.",
            "You hold %(pieces)s, %(held)d of %(n)d dates.",
            self.run.struck,
        ) % {"pieces": pieces, "held": self.run.held, "n": self.run.struck}

    @property
    def wanted_words(self) -> str:
        """ "1936 S, 1948 S and 3 more", or "" when nothing of it is wanted."""
        return some_of(self.wanted, WANTED_MOST)


def chosen_coin(member: Member, coin_type: CoinType) -> ChosenCoin:
    """The type with its dates; two queries and one an aim more than a date run takes."""
    own = access.own_in_hand(member).filter(coin_type=coin_type)
    (run,) = date_runs([coin_type], own)
    pieces = own.aggregate(pieces=Sum("quantity"))["pieces"] or 0
    return ChosenCoin(run, pieces, _wanted(member, coin_type))


def _wanted(member: Member, coin_type: CoinType) -> list[str]:
    """The dates of a type that are asked for by hand or lacking for an aim, in their order."""
    found: dict[int, Issue] = {
        want.issue.pk: want.issue
        for want in access.owned(Want.objects.all(), member)
        .filter(coin_type=coin_type, issue__isnull=False)
        .select_related("issue")
        if want.issue is not None
    }
    for aim in _aims_for(member, coin_type):
        of_it = scope_issues(aim).filter(coin_type=coin_type)
        lacking = items(aim, of_it).filter(state__in=(GAP, UPGRADE))
        found |= {issue.pk: issue for issue in lacking}
    ordered = sorted(found.values(), key=lambda i: (i.struck_from or 0, i.position, i.pk))
    return list(dict.fromkeys(issue.label for issue in ordered))


def _aims_for(member: Member, coin_type: CoinType) -> list[Aim]:
    """The aims that ask for each date and speak of this type."""
    of_it = {
        "issuer": coin_type.series.issuer_id,
        "currency": coin_type.series.currency_id,
        "series": coin_type.series_id,
        "denomination": coin_type.denomination_id,
        "coin_type": coin_type.pk,
    }
    aims = access.owned(Aim.objects.all(), member)
    aims = aims.filter(unit__in=(Aim.Unit.DATE, Aim.Unit.DATE_MINT))
    for name, pk in of_it.items():
        aims = aims.filter(Q(**{name: pk}) | Q(**{f"{name}__isnull": True}))
    return list(aims)


def date_words(member: Member, read: DateRead) -> str:
    """What is good to know of a date before the piece is saved; "" where there is nothing."""
    if read.issue is not None:
        return _issue_words(member, read.issue)
    if read.reading and not read.doubt:
        return _("The catalogue has no %(date)s of this coin: it is kept as you read it.") % {
            "date": in_words(read.reading)
        }
    return ""


def _issue_words(member: Member, issue: Issue) -> str:
    own = access.own_in_hand(member).filter(issue=issue)
    rows = list(own.order_by("-grade_rank", "pk").values_list("quantity", "grade"))
    if not rows:
        return _("%(date)s: you hold none yet.") % {"date": issue.label}
    grades = ", ".join([grade for _quantity, grade in rows if grade][:3])
    count = str(sum(quantity for quantity, _grade in rows))
    what = f"{count} ({grades})" if grades else count
    return _("%(date)s: you hold %(what)s.") % {"date": issue.label, "what": what}


@dataclass(frozen=True)
class EnteredLine:
    """A piece entered just now, also when it was taken back, with its own picture if any."""

    holding: Holding
    picture: str

    @property
    def scale(self) -> float:
        """Pixels to the millimetre of the little coin that stands for it."""
        coin_type = self.holding.coin_type
        return LINE_PX / width_mm(coin_type) if coin_type is not None else 1.0


def entered_lines(member: Member, ids: list[int]) -> list[EnteredLine]:
    """What was entered last, the newest first, with what was taken back. Four queries."""
    wanted = Q(pk__in=ids)
    related = ("coin_type__denomination", "coin_type__series__issuer", "issue", "place")
    rows = [
        *access.own_holdings(member).filter(wanted).select_related(*related),
        *access.own_bin(Holding, member).filter(wanted).select_related(*related),
    ]
    prefetch_related_objects(rows, "coin_type__faces")
    pictures = trimmed_pictures(rows)
    found = {holding.pk: EnteredLine(holding, pictures.get(holding.pk, "")) for holding in rows}
    return [found[pk] for pk in ids if pk in found]
