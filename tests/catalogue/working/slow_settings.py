"""The site's settings with a sheet that is drawn so slowly that its worker can be killed."""

from catalogue.settings import *  # noqa: F403
from catalogue.settings import SHEETS

SHEETS = [*SHEETS, "tests.catalogue.working.slow_sheet.SlowPage"]
