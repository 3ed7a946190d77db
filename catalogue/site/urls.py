from __future__ import annotations

from django.urls import path

from catalogue.site.health import health
from catalogue.site.home import home

urlpatterns = [
    path("", home, name="home"),
    path("health/", health, name="health"),
]
