from __future__ import annotations

from django.urls import path

from catalogue.photos import views

urlpatterns = [
    path("photos/<number:pk>/<slug:size>.webp", views.photo, name="photo"),
    path("photos/<number:pk>/", views.photo_edit, name="photo-edit"),
    path("photos/<number:pk>/remove/", views.photo_remove, name="photo-remove"),
    path("holdings/<number:pk>/photos/", views.photo_add, name="photo-add"),
]
