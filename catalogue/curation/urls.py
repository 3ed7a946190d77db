from __future__ import annotations

from django.urls import URLPattern, path

from catalogue.curation import issue_views, pack_views, proposal_views, record_views, type_views
from catalogue.curation.record_forms import FORMS

_PLACES = {name: form.table for name, form in FORMS.items()} | {"issuer": "countries"}

urlpatterns: list[URLPattern] = [
    path("countries/start/", record_views.country_start, name="country-start"),
    *(
        path(f"{place}/new/", record_views.new_view(name), name=f"{name}-new")
        for name, place in _PLACES.items()
    ),
    *(
        path(f"{place}/<slug:key>/edit/", record_views.edit_view(name), name=f"{name}-edit")
        for name, place in _PLACES.items()
    ),
    path("types/new/", type_views.type_new, name="type-new"),
    path("types/<slug:key>/like/", type_views.type_like, name="type-like"),
    path("types/<slug:key>/propose/", type_views.type_propose, name="type-propose"),
    path("types/<slug:key>/edit/", type_views.type_edit, name="type-edit"),
    path("types/<slug:key>/join/", proposal_views.type_join, name="type-join"),
    path("types/<slug:key>/issues/<slug:issue_key>/", issue_views.issue_edit, name="issue-edit"),
    path("holdings/<number:pk>/type/", type_views.type_from_holding, name="type-from-holding"),
    path("countries/packs/", pack_views.packs, name="packs"),
    path("countries/<slug:key>/join/", pack_views.country_join, name="country-join"),
    path("curation/", proposal_views.curation, name="curation"),
    path("curation/<number:pk>/", proposal_views.proposal, name="proposal"),
]
