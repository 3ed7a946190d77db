from __future__ import annotations

from django.urls import path

from catalogue.talks.handing_out import views

urlpatterns = [
    path("talks/<number:pk>/take-along/", views.take_along, name="talk-take-along"),
    path("talks/<number:pk>/captions/", views.captions, name="talk-captions"),
    path("talks/<number:pk>/notes.txt", views.notes, name="talk-notes"),
]
