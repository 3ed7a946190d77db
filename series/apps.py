from __future__ import annotations

from django.apps import AppConfig


class SeriesConfig(AppConfig):
    name = "series"
    verbose_name = "Series"

    def ready(self) -> None:
        from series.tracked_links import listen

        listen()
