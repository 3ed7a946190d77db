"""Photographs that schedules show are not deleted while a schedule shows them."""

from __future__ import annotations

from catalogue.site.stored_files import Naming, picture_files
from valuation.schedules.models import SchedulePhoto

PICTURES = Naming(SchedulePhoto, "digest", picture_files)
