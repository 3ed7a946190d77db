from __future__ import annotations

from django.urls import path

from catalogue.identifying import views

urlpatterns = [
    path("identify/", views.identify_page, name="identify"),
]
