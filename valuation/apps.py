from __future__ import annotations

from django.apps import AppConfig


class ValuationConfig(AppConfig):
    name = "valuation"
    verbose_name = "Valuation"
