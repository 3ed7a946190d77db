from __future__ import annotations

from django.urls import path

from catalogue.exports import archive_views, views

urlpatterns = [
    path("holdings/export.<slug:ending>", views.holdings_export, name="holdings-export"),
    path("account/export/", views.account_export, name="account-export"),
    path("account/archives/", archive_views.archives, name="archives"),
    path("account/archives/<number:pk>/", archive_views.archive, name="archive"),
    path("account/archives/<number:pk>/bring/", archive_views.archive_bring, name="archive-bring"),
    path("account/archives/<number:pk>/again/", archive_views.archive_again, name="archive-again"),
    path(
        "account/archives/<number:pk>/remove/", archive_views.archive_remove, name="archive-remove"
    ),
]
