"""The holdings an address finds, as a CSV file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db.models import Prefetch
from django.http import StreamingHttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.extensions import holding_extensions
from catalogue.holdings.browse.results import Browse
from catalogue.members.requests import MemberRequest, Viewer
from catalogue.models import Holding, HoldingProblem
from catalogue.site.csv_cells import csv_line
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


@require_safe
def holdings_export(request: MemberRequest) -> StreamingHttpResponse:
    """What the address finds; place, price and worth only of the viewer's own pieces."""
    found = Browse(request.GET, request.user).queryset().order_by("owner", "accession", "pk")
    ids = list(found.values_list("pk", flat=True))
    response = StreamingHttpResponse(
        _lines(ids, request.user), content_type="text/csv; charset=utf-8"
    )
    name = f"holdings-{timezone.localdate().isoformat()}.csv"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["Cache-Control"] = "private, no-store"
    return response


def _lines(ids: list[int], viewer: Viewer) -> Iterator[str]:
    """The file line by line; a constant number of queries for every BATCH holdings.

    What extensions export is known only from their rows, so those are asked first.
    """
    extra: dict[int, dict[str, str]] = {}
    columns: list[str] = []
    for batch in _batches(ids, viewer):
        own = [holding for holding in batch if access.may_see_private(viewer, holding)]
        for extension in holding_extensions():
            rows = extension.export(own if extension.own_only else batch, viewer)
            for pk, figures in rows.items():
                extra.setdefault(pk, {}).update(figures)
                columns += [name for name in figures if name not in columns]
    names = [name for name, _ in (*OPEN, *PRIVATE)]
    yield "\ufeff" + csv_line([*names, *columns])
    for batch in _batches(ids, viewer):
        for holding in batch:
            own_piece = access.may_see_private(viewer, holding)
            cells = [_value(holding, path) for _, path in OPEN]
            cells += [_value(holding, path) if own_piece else "" for _, path in PRIVATE]
            figures = extra.get(holding.pk, {})
            yield csv_line([*cells, *(figures.get(name, "") for name in columns)])


def _batches(ids: list[int], viewer: Viewer) -> Iterator[list[Holding]]:
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
