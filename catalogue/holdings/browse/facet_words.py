"""What facets and orders are called."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

LABELS = {
    "country": gettext_lazy("Country"),
    "currency": gettext_lazy("Currency"),
    "series": gettext_lazy("Series"),
    "denomination": gettext_lazy("Denomination"),
    "metal": gettext_lazy("Metal"),
    "decade": gettext_lazy("Decade"),
    "mint": gettext_lazy("Mint"),
    "grade": gettext_lazy("Grade"),
    "problem": gettext_lazy("Problem"),
    "motif": gettext_lazy("Motif"),
    "place": gettext_lazy("Place"),
    "owner": gettext_lazy("Owner"),
    "status": gettext_lazy("Status"),
    "spare": gettext_lazy("Spare"),
    "photo": gettext_lazy("Photograph"),
}
SORT_LABELS = {
    "face": gettext_lazy("face value"),
    "year": gettext_lazy("year"),
    "country": gettext_lazy("country"),
    "accession": gettext_lazy("accession number"),
    "grade": gettext_lazy("grade"),
    "diameter": gettext_lazy("diameter"),
    "mass": gettext_lazy("mass"),
    "added": gettext_lazy("when added"),
}
