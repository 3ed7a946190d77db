#!/usr/bin/env python3
"""The command line of Exergue: ``python manage.py help`` lists what it can do."""

from __future__ import annotations

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
    os.umask(0o077)  # what the site writes is for the user it runs as
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        sys.exit(f"Exergue cannot start. {error}")


if __name__ == "__main__":
    main()
