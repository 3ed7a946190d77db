"""The site's addresses: each subject brings its own."""

from __future__ import annotations

from django.urls import include, path, register_converter

from catalogue.site.converters import NumberConverter

register_converter(NumberConverter, "number")

handler400 = "catalogue.site.failures.bad_request"
handler500 = "catalogue.site.failures.server_error"

urlpatterns = [
    path("", include("catalogue.site.urls")),
    path("", include("catalogue.members.urls")),
    # Before series.urls, where /types/new/ would be a type with the key "new".
    path("", include("catalogue.curation.urls")),
    path("", include("catalogue.history.urls")),
    path("", include("series.urls")),
    path("", include("catalogue.holdings.urls")),
    path("", include("catalogue.holdings.browse.searches.urls")),
    path("", include("catalogue.exports.urls")),
    path("", include("catalogue.importing.urls")),
    path("", include("catalogue.identifying.urls")),
    path("", include("catalogue.photos.urls")),
    path("", include("catalogue.wants.urls")),
    path("", include("catalogue.showing.urls")),
    path("", include("catalogue.talks.giving_urls")),
    path("", include("catalogue.talks.urls")),
    path("", include("catalogue.talks.handing_out.urls")),
    path("", include("catalogue.printing.urls")),
    path("", include("valuation.urls")),
]
