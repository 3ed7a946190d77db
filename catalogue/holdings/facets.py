"""The facets and the orders of browsing: one row each.

A facet says what it is called, where a holding has its value, and what the choice of some values
is in SQL. The columns in memory (``index``) are filled from the same rows as those by which the
query sets of exports and sheets are narrowed (``filters``); a test holds the two together. What
a private facet says of a piece is its owner's alone.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from django.db.models import Exists, F, Model, OuterRef, Q, QuerySet
from django.utils.translation import gettext_lazy as _

from catalogue import access
from catalogue.holdings.grades import BANDS, band
from catalogue.holdings.search.tally import Value
from catalogue.models import Holding, HoldingProblem, Member, Photo, Place
from series.faces.broader import broader_pairs
from series.models import Currency, Denomination, FaceMotif, Issuer, Mark, Mint, Motif, Series
from series.reaching import leads, reached

Chosen = frozenset[int | str | None]
Pairs = Iterable[tuple[int, int]]

_LAST_YEAR = 10_000
_NOT_RECORDED = _("not recorded")
# Each type has a country and a series, so a piece without one is not identified.
_NOT_IDENTIFIED = _("not identified")


class Called(NamedTuple):
    """What a value of a facet is called, and where it stands among the others."""

    label: str
    place: Any = 0


@dataclass(frozen=True)
class Facet:
    """A facet whose value stands in one column, at the end of ``way`` from the holding.

    ``model``: what the values are ids of; where two records read alike, the name of what they
    belong to is put ``beside`` them. ``place``: by which field of it the values stand in order.
    ``within`` gives pairs of ids of which the first belongs to all that the second stands for.
    """

    name: str
    label: Any
    way: str
    model: type[Model] | None = None
    unknown: Any = _NOT_RECORDED
    choices: Sequence[tuple[str, Any]] = ()
    beside: str = ""
    place: str = ""
    within: Callable[[], Pairs] | None = None
    private: bool = False
    for_members: bool = False

    @property
    def numbered(self) -> bool:
        """Whether its values are whole numbers."""
        return self.model is not None

    # ---- in memory ----
    @property
    def column(self) -> Any:
        """What is read of each holding."""
        return F(self.way)

    def cells(self, holdings: QuerySet[Holding]) -> Callable[[Any], Value | tuple[Value, ...]]:
        """From what was read of one of these holdings to its value or values."""
        if self.within is None:
            return self._value
        outer = leads(self.within())
        return lambda value: tuple(sorted(reached([value], outer))) if value else ()

    def _value(self, read: Any) -> Value:
        return read or None

    # ---- in SQL ----
    def condition(self, chosen: Chosen, viewer: Any) -> Q:
        """That a holding has one of these values, or none where None is among them."""
        values: list[Any] = [value for value in chosen if value is not None]
        if self.within is not None:
            values = reached(values, leads((o, i) for i, o in self.within()))
        found = self._among(values)
        if None in chosen:
            found |= self._nothing()
        return found & Q(owner=viewer.pk) if self.private else found

    def _among(self, values: list[Any]) -> Q:
        return Q(**{f"{self.way}__in": values})

    def _nothing(self) -> Q:
        return Q(**{f"{self.way}__isnull": True})

    # ---- in words ----
    def called(self, values: Iterable[Value], viewer: Any) -> dict[Value, Called]:
        """What these values are called, as far as the viewer may read it."""
        known = self._called([value for value in values if value is not None], viewer)
        return {None: Called(str(self.unknown))} | known

    def _called(self, values: list[Any], viewer: Any) -> dict[Any, Called]:
        if self.model is None:
            labels = dict(self.choices) or {value: value for value in values}
            return {value: Called(str(label)) for value, label in labels.items()}
        records: Any = access.named_records(self.model, viewer).filter(pk__in=values).order_by()
        records = records.select_related(self.beside) if self.beside else records
        names = Counter(str(record) for record in records)
        found = {}
        for record in records:
            label = str(record)
            if self.beside and names[label] > 1:
                label = f"{label} ({getattr(record, self.beside)})"
            found[record.pk] = Called(label, getattr(record, self.place) or 0 if self.place else 0)
        return found


class _Text(Facet):
    """A text, of which an empty one is none."""

    def _nothing(self) -> Q:
        return super()._nothing() | Q(**{self.way: ""})


class _Decade(Facet):
    """The decade of a year."""

    numbered = True  # type: ignore[assignment]

    def _value(self, read: Any) -> Value:
        return None if read is None else read // 10 * 10

    def _among(self, values: list[Any]) -> Q:
        """By all their years, since a condition for each of many would be nested too deep."""
        return super()._among(
            [year for one in values if abs(one) < _LAST_YEAR for year in range(one, one + 10)]
        )

    def _called(self, values: list[Any], viewer: Any) -> dict[Any, Called]:
        return {one: Called(str(_("%(decade)ss") % {"decade": one}), one) for one in values}


class _Band(Facet):
    """The band of a rank."""

    def _value(self, read: Any) -> Value:
        found = band(read)
        return found.key if found else None

    def _among(self, values: list[Any]) -> Q:
        found = Q(pk__in=[])
        for each in BANDS:
            if each.key in values:
                found |= Q(**{f"{self.way}__range": (each.low, each.high)})
        return found

    def _called(self, values: list[Any], viewer: Any) -> dict[Any, Called]:
        return {each.key: Called(str(_(each.label)), at) for at, each in enumerate(BANDS)}


@dataclass(frozen=True)
class YesNo(Facet):
    """Whether something ``holds`` of a holding."""

    way: str = ""
    holds: Any = None

    @property
    def column(self) -> Any:
        return self.holds

    def _value(self, read: Any) -> Value:
        return "yes" if read else "no"

    def _among(self, values: list[Any]) -> Q:
        found = Q(pk__in=[])
        if "yes" in values:
            found |= Q(self.holds)
        return found | ~Q(self.holds) if "no" in values else found

    def _nothing(self) -> Q:
        return Q(pk__in=[])

    def _called(self, values: list[Any], viewer: Any) -> dict[Any, Called]:
        return {"yes": Called(str(_("yes"))), "no": Called(str(_("no")))}


@dataclass(frozen=True)
class _Several(Facet):
    """A facet of which a holding may have several values.

    ``rows`` are what gives a holding its values (at the end of ``way`` from each row), ``holder``
    leads from a row to what the holding's ``key`` names. The rows are named without a reference
    to the holding, so that the database reads them once and not for each holding anew.
    """

    rows: Any = None
    holder: str = "holding"
    key: str = "pk"

    @property
    def column(self) -> Any:
        return F(self.key)

    def cells(self, holdings: QuerySet[Holding]) -> Callable[[Any], Value | tuple[Value, ...]]:
        of_these = self.rows.filter(**{f"{self.holder}__in": holdings.order_by().values(self.key)})
        found: dict[Any, set[Any]] = defaultdict(set)
        for key, value in of_these.values_list(self.holder, self.way).distinct():
            found[key].add(value)
        if self.within is not None:
            outer = leads(self.within())
            found |= {key: set(reached(values, outer)) for key, values in found.items()}
        return lambda key: tuple(sorted(found.get(key, ())))

    def _among(self, values: list[Any]) -> Q:
        having = self.rows.filter(**{f"{self.way}__in": values})
        return Q(**{f"{self.key}__in": having.values(self.holder)})

    def _nothing(self) -> Q:
        return ~Q(**{f"{self.key}__in": self.rows.values(self.holder)})


def _places() -> Pairs:
    return Place.objects.filter(within__isnull=False).order_by().values_list("pk", "within")  # type: ignore[return-value]


_minted = Mark.issues.through.objects.filter(mark__kind=Mark.Kind.MINT, mark__mint__isnull=False)
_problems = HoldingProblem.objects.all()
_shown = FaceMotif.objects.all()

_FACETS = (
    Facet("country", _("Country"), "coin_type__series__issuer", Issuer, unknown=_NOT_IDENTIFIED),
    Facet("currency", _("Currency"), "coin_type__denomination__currency", Currency),
    Facet(
        "series",
        _("Series"),
        "coin_type__series",
        Series,
        _NOT_IDENTIFIED,
        beside="issuer",
        place="first_year",
    ),
    Facet(
        "denomination",
        _("Denomination"),
        "coin_type__denomination",
        Denomination,
        beside="currency",
        place="sort_value",
    ),
    _Text("metal", _("Metal"), "coin_type__metal"),
    _Decade("decade", _("Decade"), "issue__struck_from"),
    _Several("mint", _("Mint"), "mark__mint", Mint, rows=_minted, holder="issue", key="issue"),
    _Band("grade", _("Grade"), "grade_rank"),
    _Several("problem", _("Problem"), "kind", choices=HoldingProblem.Kind.choices, rows=_problems),
    _Several(
        "motif",
        _("Motif"),
        "motif",
        Motif,
        within=broader_pairs,
        rows=_shown,
        holder="face__coin_type",
        key="coin_type",
    ),
    Facet("place", _("Place"), "place", Place, within=_places, private=True),
    Facet("owner", _("Owner"), "owner", Member, for_members=True),
    Facet("status", _("Status"), "status", choices=Holding.Status.choices),
    YesNo("spare", _("Spare"), holds=Q(spare=True)),
    YesNo("photo", _("Photograph"), holds=Exists(Photo.objects.filter(holding=OuterRef("pk")))),
)
FACETS: dict[str, Facet] = {facet.name: facet for facet in _FACETS}
PRIVATE = frozenset(name for name, facet in FACETS.items() if facet.private)


class Order(NamedTuple):
    """An order of browsing: what it is called, and by which column."""

    label: Any
    way: str


ORDERS = {
    "face": Order(_("face value"), "coin_type__denomination__sort_value"),
    "year": Order(_("year"), "issue__struck_from"),
    "country": Order(_("country"), "coin_type__series__issuer__name"),
    "accession": Order(_("accession number"), "accession"),
    "grade": Order(_("grade"), "grade_rank"),
    "diameter": Order(_("diameter"), "coin_type__diameter_mm"),
    "mass": Order(_("mass"), "coin_type__mass_g"),
    "added": Order(_("when added"), "created_at"),
}
