"""The site's settings with an embedded database that takes no more than half a megabyte."""

from catalogue.settings import *  # noqa: F403
from catalogue.settings import DATABASES

DATABASES["default"]["OPTIONS"]["init_command"] += "PRAGMA max_page_count = 128;"
