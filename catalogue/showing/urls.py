from __future__ import annotations

from django.urls import path

from catalogue.showing import views
from catalogue.showing.open_views import PARTS, by_number, by_secret, open_showings

urlpatterns = [
    path("showings/", views.showings, name="showings"),
    path("showings/new/", views.showing_new, name="showing-new"),
    path("showings/<number:pk>/", views.showing, name="showing"),
    path("showings/<number:pk>/edit/", views.showing_edit, name="showing-edit"),
    path("showings/<number:pk>/pieces/", views.showing_pieces, name="showing-pieces"),
    path("showings/<number:pk>/remove/", views.showing_remove, name="showing-remove"),
    path("showings/<number:pk>/share/", views.showing_share, name="showing-share"),
    path("showings/<number:pk>/unshare/", views.showing_unshare, name="showing-unshare"),
    path("showings/<number:pk>/preview/", views.showing_preview, name="showing-preview"),
    path(
        "showings/<number:pk>/preview/<number:piece>/",
        views.showing_preview_piece,
        name="showing-preview-piece",
    ),
    path("open/", open_showings, name="open-showings"),
]
for part, (route, view) in PARTS.items():
    urlpatterns += [
        path(f"shown/<str:token>/{route}", by_secret(view), name=f"shown{part}"),
        path(f"open/<number:pk>/{route}", by_number(view), name=f"open-showing{part}"),
    ]
