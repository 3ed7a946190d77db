"""Holdings as rows of a spreadsheet: the same columns for a CSV file and for a workbook."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch

from catalogue import access
from catalogue.extensions import holding_extensions
from catalogue.members.requests import Viewer
from catalogue.models import Holding, HoldingProblem
from series.parcels import parcels

BATCH = 500
OPEN = (
    ("accession", "accession"),
    ("owner", "owner"),
    ("country", "coin_type.series.issuer.name"),
    ("series", "coin_type.series.name"),
    ("coin", "coin_type"),
    ("type_key", "coin_type.key"),
    ("date", "issue.label"),
    ("date_reading", "date_reading"),
    ("variety", "variety"),
    ("working_title", "title"),
    ("pieces", "quantity"),
    ("grade_scale", "grade_scale"),
    ("grade", "grade"),
    ("grade_obverse", "grade_obverse"),
    ("grade_reverse", "grade_reverse"),
    ("graded_by", "graded_by"),
    ("graded_on", "graded_on"),
    ("problems", "problem_words"),
    *((name, name) for names in Holding.MEASURES.values() for name in names),
    ("alignment", "alignment"),
    ("status", "status"),
    ("spare", "spare"),
    ("note", "note"),
)
PRIVATE = (
    ("visibility", "visibility"),
    ("place", "place"),
    ("acquired_on", "acquired_on"),
    ("acquired_from", "acquired_from"),
    ("price", "price"),
    ("price_currency", "price_currency"),
    ("imported", "imported"),
)


@dataclass(frozen=True)
class SheetRows:
    """The holdings with these ids as the viewer may see them.

    Place, price and worth are there only of the viewer's own pieces. What extensions export is
    known only from their rows, so those are asked first (``of``).
    """

    ids: list[int]
    viewer: Viewer
    extra: dict[int, dict[str, str]]
    more_columns: list[str]

    @classmethod
    def of(cls, ids: list[int], viewer: Viewer) -> SheetRows:
        extra: dict[int, dict[str, str]] = {}
        columns: list[str] = []
        for batch in batches(ids, viewer):
            own = [holding for holding in batch if access.may_see_private(viewer, holding)]
            for extension in holding_extensions():
                rows = extension.export(own if extension.own_only else batch, viewer)
                for pk, figures in rows.items():
                    extra.setdefault(pk, {}).update(figures)
                    columns += [name for name in figures if name not in columns]
        return cls(ids, viewer, extra, columns)

    @property
    def heading(self) -> list[str]:
        return [name for name, _ in (*OPEN, *PRIVATE)] + self.more_columns

    def rows(self) -> Iterator[list[Any]]:
        """A constant number of queries for every BATCH holdings."""
        for batch in batches(self.ids, self.viewer):
            for holding in batch:
                own_piece = access.may_see_private(self.viewer, holding)
                cells = [_value(holding, path) for _, path in OPEN]
                cells += [_value(holding, path) if own_piece else "" for _, path in PRIVATE]
                figures = self.extra.get(holding.pk, {})
                yield [*cells, *(figures.get(name, "") for name in self.more_columns)]


def batches(ids: list[int], viewer: Viewer) -> Iterator[list[Holding]]:
    """What the viewer may see of these holdings, BATCH at a time, in the order of a list."""
    for some in parcels(ids, BATCH):
        yield list(
            access.visible_holdings(viewer)
            .filter(pk__in=some)
            .select_related(
                "owner",
                "place",
                "issue",
                "variety",
                "coin_type__denomination",
                "coin_type__series__issuer",
            )
            .prefetch_related(
                Prefetch("problems", queryset=HoldingProblem.objects.order_by("kind"))
            )
            .order_by("owner", "accession", "pk")
        )


def _value(holding: Holding, path: str) -> Any:
    if path == "problem_words":
        return "; ".join(problem.kind for problem in holding.problems.all())
    value: Any = holding
    for name in path.split("."):
        value = getattr(value, name, None)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value
