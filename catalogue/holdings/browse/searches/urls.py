from __future__ import annotations

from django.urls import path

from catalogue.holdings.browse.searches import views

urlpatterns = [
    path("holdings/searches/", views.saved_searches, name="saved-searches"),
    path("holdings/searches/<number:pk>/", views.saved_search, name="saved-search"),
    path("holdings/searches/<number:pk>/remove/", views.saved_search_remove, name="search-remove"),
]
