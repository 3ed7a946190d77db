"""The site's settings with Django's own admin list added: for measuring, never served."""

from __future__ import annotations

from catalogue.settings import *  # noqa: F403
from catalogue.settings import INSTALLED_APPS as OURS

INSTALLED_APPS = [*OURS, "django.contrib.admin.apps.SimpleAdminConfig"]
ROOT_URLCONF = "admin_list"
ALLOWED_HOSTS = ["testserver", "127.0.0.1"]
MIGRATION_MODULES = {"admin": None}  # nothing is logged, since nobody may change anything
