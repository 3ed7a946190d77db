from __future__ import annotations

from django.urls import path

from catalogue.showing import open_views, views

PHOTO = "photos/<int:photo>/<slug:size>.webp"
FACE = "faces/<slug:key>/<slug:side>/<slug:size>.webp"

urlpatterns = [
    path("showings/", views.showings, name="showings"),
    path("showings/new/", views.showing_new, name="showing-new"),
    path("showings/<int:pk>/", views.showing, name="showing"),
    path("showings/<int:pk>/edit/", views.showing_edit, name="showing-edit"),
    path("showings/<int:pk>/pieces/", views.showing_pieces, name="showing-pieces"),
    path("showings/<int:pk>/remove/", views.showing_remove, name="showing-remove"),
    path("showings/<int:pk>/share/", views.showing_share, name="showing-share"),
    path("showings/<int:pk>/unshare/", views.showing_unshare, name="showing-unshare"),
    path("showings/<int:pk>/preview/", views.showing_preview, name="showing-preview"),
    path(
        "showings/<int:pk>/preview/<int:piece>/",
        views.showing_preview_piece,
        name="showing-preview-piece",
    ),
    path("shown/<str:token>/", open_views.shown, name="shown"),
    path("shown/<str:token>/<int:piece>/", open_views.shown_piece, name="shown-piece"),
    path(f"shown/<str:token>/{PHOTO}", open_views.shown_photo, name="shown-photo"),
    path(f"shown/<str:token>/{FACE}", open_views.shown_face, name="shown-face"),
    path("open/", open_views.open_showings, name="open-showings"),
    path("open/<int:pk>/", open_views.open_showing, name="open-showing"),
    path("open/<int:pk>/<int:piece>/", open_views.open_showing_piece, name="open-showing-piece"),
    path(f"open/<int:pk>/{PHOTO}", open_views.open_showing_photo, name="open-showing-photo"),
    path(f"open/<int:pk>/{FACE}", open_views.open_showing_face, name="open-showing-face"),
]
