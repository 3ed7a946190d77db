from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

os.umask(0o077)  # what the site writes is for the user it runs as
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")

application = get_wsgi_application()
