from __future__ import annotations

from django.urls import path

from catalogue.talks import stop_views, views

STOP = "talks/<number:pk>/stops/<number:stop>/"
urlpatterns = [
    path("talks/", views.talks, name="talks"),
    path("talks/new/", views.talk_new, name="talk-new"),
    path("talks/<number:pk>/", views.talk, name="talk"),
    path("talks/<number:pk>/edit/", views.talk_edit, name="talk-edit"),
    path("talks/<number:pk>/remove/", views.talk_remove, name="talk-remove"),
    path("talks/<number:pk>/order/", views.talk_order, name="talk-order"),
    path("talks/<number:pk>/add/", views.talk_add, name="talk-add"),
    path("talks/<number:pk>/draft/", views.talk_draft, name="talk-draft"),
    path("talks/<number:pk>/leave-out/", views.talk_leave_out, name="talk-leave-out"),
    path(STOP, stop_views.talk_stop, name="talk-stop"),
    path(f"{STOP}draft/", stop_views.talk_stop_draft, name="talk-stop-draft"),
    path(f"{STOP}remove/", stop_views.talk_stop_remove, name="talk-stop-remove"),
]
