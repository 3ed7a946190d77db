"""The site's settings with a sheet that is drawn so slowly that its worker can be killed."""

from catalogue.settings import *  # noqa: F403
from catalogue.settings import SHEET_KINDS

SHEET_KINDS = {**SHEET_KINDS, "slow": "tests.catalogue.working.slow_sheet.draw_slowly"}
