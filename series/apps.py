from __future__ import annotations

from django.apps import AppConfig


class SeriesConfig(AppConfig):
    name = "series"
    verbose_name = "Series"
