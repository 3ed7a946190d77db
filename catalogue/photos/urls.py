from __future__ import annotations

from django.urls import path

from catalogue.photos import views

urlpatterns = [
    path("photos/<int:pk>/<slug:size>.webp", views.photo, name="photo"),
    path("photos/<int:pk>/", views.photo_edit, name="photo-edit"),
    path("photos/<int:pk>/remove/", views.photo_remove, name="photo-remove"),
    path("holdings/<int:pk>/photos/", views.photo_add, name="photo-add"),
]
