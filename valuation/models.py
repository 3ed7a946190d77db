"""Every model of the app, where Django looks for them; each lives with its subject."""

from __future__ import annotations

from valuation.estimates.models import PriceSource, Valuation
from valuation.schedules.models import Schedule, ScheduleLine, ScheduleNumbers, SchedulePhoto

__all__ = [
    "PriceSource",
    "Schedule",
    "ScheduleLine",
    "ScheduleNumbers",
    "SchedulePhoto",
    "Valuation",
]
