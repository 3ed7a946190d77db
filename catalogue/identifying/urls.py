from __future__ import annotations

from django.urls import path

from catalogue.identifying import keep_views, views

urlpatterns = [
    path("identify/", views.identify_page, name="identify"),
    path("identify/compare/", views.identify_compare, name="identify-compare"),
    path("identify/keep/", keep_views.identify_keep, name="identify-keep"),
    path("identify/told/", keep_views.identify_told, name="identify-told"),
]
