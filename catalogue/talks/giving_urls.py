"""Addresses of giving a talk."""

from __future__ import annotations

from django.urls import path

from catalogue.talks import giving_views as views

urlpatterns = [
    path("talks/<number:pk>/wall/", views.talk_wall, name="talk-wall"),
    path("talks/<number:pk>/wall/<number:number>/", views.talk_wall, name="talk-wall-stop"),
    path("talks/<number:pk>/speaker/", views.talk_speaker, name="talk-speaker"),
    path(
        "talks/<number:pk>/speaker/<number:number>/", views.talk_speaker, name="talk-speaker-stop"
    ),
]
