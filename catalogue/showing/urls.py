from __future__ import annotations

from django.urls import path

from catalogue.showing import open_views, views

PHOTO = "photos/<number:photo>/<slug:size>.webp"
FACE = "faces/<slug:key>/<slug:side>/<slug:size>.webp"

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
    path("shown/<str:token>/", open_views.shown, name="shown"),
    path("shown/<str:token>/<number:piece>/", open_views.shown_piece, name="shown-piece"),
    path(f"shown/<str:token>/{PHOTO}", open_views.shown_photo, name="shown-photo"),
    path(f"shown/<str:token>/{FACE}", open_views.shown_face, name="shown-face"),
    path("open/", open_views.open_showings, name="open-showings"),
    path("open/<number:pk>/", open_views.open_showing, name="open-showing"),
    path(
        "open/<number:pk>/<number:piece>/", open_views.open_showing_piece, name="open-showing-piece"
    ),
    path(f"open/<number:pk>/{PHOTO}", open_views.open_showing_photo, name="open-showing-photo"),
    path(f"open/<number:pk>/{FACE}", open_views.open_showing_face, name="open-showing-face"),
]
