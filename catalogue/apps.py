from __future__ import annotations

from django.apps import AppConfig


class CatalogueConfig(AppConfig):
    name = "catalogue"
    verbose_name = "Catalogue"

    def ready(self) -> None:
        from catalogue.listeners import connect
        from catalogue.members.door import devices

        connect()
        devices.connect()
