from __future__ import annotations

from django.urls import path

from catalogue.front_page.home import home
from catalogue.site.health import health

urlpatterns = [
    path("", home, name="home"),
    path("health/", health, name="health"),
]
