from __future__ import annotations

from django.urls import path

from series.faces import views as faces
from series.ladder import views as ladder
from series.types import views as types

urlpatterns = [
    path("countries/", ladder.countries, name="countries"),
    path("countries/<slug:key>/", ladder.country, name="country"),
    path("countries/<slug:key>/timeline/", ladder.country_timeline, name="country-timeline"),
    path("countries/<slug:key>/motifs/", ladder.country_motifs, name="country-motifs"),
    path("denominations/<slug:key>/", types.denomination, name="denomination"),
    path("series/<slug:key>/", types.series, name="series"),
    path("types/<slug:key>/", types.coin_type, name="type"),
    path("types/<slug:key>/<str:side>/<str:size>.webp", faces.face_picture, name="face-picture"),
    path("motifs/<slug:key>/", faces.motif, name="motif"),
    path("people/<slug:key>/", faces.person, name="person"),
]
