"""Which motifs are broader than which: a herring gull is a gull, and a gull a bird."""

from __future__ import annotations

from django.db.models import QuerySet

from series.faces.models import Motif
from series.reaching import leads

Leads = dict[int, list[int]]


def broader_pairs() -> QuerySet[Motif, tuple[int, int]]:
    """A motif and a broader one, by their ids."""
    pairs = Motif.broader.through.objects.order_by("pk")
    return pairs.values_list("from_motif_id", "to_motif_id")  # type: ignore[return-value]


def broader_motifs() -> Leads:
    """From each motif to its broader ones."""
    return leads(broader_pairs())


def narrower_motifs() -> Leads:
    """From each motif to its narrower ones."""
    return leads((broad, narrow) for narrow, broad in broader_pairs())
