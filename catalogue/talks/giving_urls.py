"""Addresses of giving a talk, and of a talk behind its secret link."""

from __future__ import annotations

from django.urls import path

from catalogue.talks import giving_views as views
from catalogue.talks import listening_views as listening

TALK = "talks/<number:pk>/"
SHOWN = "shown-talk/<str:token>/"

urlpatterns = [
    path(f"{TALK}wall/", views.talk_wall, name="talk-wall"),
    path(f"{TALK}wall/<number:number>/", views.talk_wall, name="talk-wall-stop"),
    path(f"{TALK}speaker/", views.talk_speaker, name="talk-speaker"),
    path(f"{TALK}speaker/<number:number>/", views.talk_speaker, name="talk-speaker-stop"),
    path(f"{TALK}rehearse/", views.talk_rehearse, name="talk-rehearse"),
    path(f"{TALK}rehearse/<number:number>/", views.talk_rehearse, name="talk-rehearse-stop"),
    path(f"{TALK}rehearsed/", views.talk_rehearsed, name="talk-rehearsed"),
    path(f"{TALK}link/", views.talk_link, name="talk-link"),
    path(f"{TALK}share/", views.talk_share, name="talk-share"),
    path(f"{TALK}unshare/", views.talk_unshare, name="talk-unshare"),
    path(SHOWN, listening.shown_to_listeners, name="shown-talk"),
    path(f"{SHOWN}<number:number>/", listening.shown_to_listeners, name="shown-talk-stop"),
    path(f"{SHOWN}photos/<number:photo>.webp", listening.shown_photo, name="shown-talk-photo"),
    path(f"{SHOWN}faces/<slug:key>/<slug:side>.webp", listening.shown_face, name="shown-talk-face"),
]
