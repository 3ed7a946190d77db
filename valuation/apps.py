from __future__ import annotations

from importlib import import_module

from django.apps import AppConfig


class ValuationConfig(AppConfig):
    name = "valuation"
    verbose_name = "Valuation"

    def ready(self) -> None:
        import_module("valuation.estimates.listed")
        import_module("valuation.estimates.lots")
