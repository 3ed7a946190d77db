"""What an address of browsing has chosen, each with the address that lets it go."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from catalogue.holdings.browse.results import Browse, FacetList
from catalogue.holdings.facets import FACETS, YesNo


@dataclass(frozen=True)
class Chip:
    label: str
    address: str


def chips(browse: Browse, facets: list[FacetList]) -> list[Chip]:
    """The words searched for and the values chosen; what holds without being asked has none."""
    found = []
    words = browse.asked.get("q", "").strip()
    if words:
        found.append(Chip(_("“%(words)s”") % {"words": words}, browse.address(q=None)))
    for facet in facets:
        if facet.name not in browse.asked:
            continue
        for value in facet.values:
            if value.chosen:
                label = value.label
                if isinstance(FACETS[facet.name], YesNo):
                    label = f"{facet.label}: {label}"
                found.append(Chip(label, value.address))
    if browse.asked.get("gaps") == "1":
        found.append(Chip(_("with dates still missing"), browse.address(gaps=None)))
    return found
