"""``manage.py serve``: the whole site on one machine, web server and task worker."""

from __future__ import annotations

import logging
import os
import signal
import sys
from argparse import ArgumentParser
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application
from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor
from waitress.server import create_server

from catalogue.models import Member
from catalogue.site.companions import Companions
from catalogue.site.served_at import noted
from catalogue.site.web_fonts import STYLESHEET, make_web_fonts

log = logging.getLogger(__name__)

THREADS = 8
PICTURES_AT_ONCE = 5
HIGHEST_PORT = 65_535
EVERYWHERE = ("0.0.0.0", "::", "*")  # noqa: S104 only compared with
PROXY_HEADERS = "x-forwarded-for x-forwarded-proto x-forwarded-host x-forwarded-port"


class Command(BaseCommand):
    help = "Serve the site, with a worker for long tasks beside it. Ctrl-C stops both."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="address to listen on (127.0.0.1)")
        parser.add_argument("--port", type=int, default=8000, help="port to listen on (8000)")
        parser.add_argument(
            "--no-worker", action="store_true", help="no task worker: manage.py work runs elsewhere"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        host, port = options["host"], options["port"]
        if not 0 < port <= HIGHEST_PORT:
            raise CommandError(f"There is no port {port}. Choose one from 1 to {HIGHEST_PORT}.")
        _check_database()
        if "EXERGUE_SITE" not in os.environ:
            _site_is(host, port)
        self._make_fonts()
        try:
            server = create_server(get_wsgi_application(), **_server_settings(host, port))
        except (OSError, ValueError) as error:
            raise CommandError(
                f"Cannot listen on {host}, port {port}: {error}. Choose another with --port."
            ) from error
        self._greet(host, port)
        signal.signal(signal.SIGTERM, _end)
        companions = None if options["no_worker"] else Companions(self._say)
        try:
            with noted(settings.SITE_ADDRESS, port):
                if companions is not None:
                    companions.start()
                server.run()
        except KeyboardInterrupt:
            pass
        finally:
            server.close()
            if companions is not None:
                companions.stop()
        self._say("Stopped.")

    def _make_fonts(self) -> None:
        """Before the site is set up, which looks at the files there are."""
        if not (settings.WEB_DIR / STYLESHEET).exists():
            self._say("Cutting the fonts for browsers; this is done once…")
        try:
            make_web_fonts(settings.WEB_DIR)
        except Exception as error:
            log.warning("The fonts go to browsers whole, since they cannot be cut: %s", error)

    def _say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()

    def _greet(self, host: str, port: int) -> None:
        self._say(f"Exergue is served at {settings.SITE_ADDRESS}/ (Ctrl-C stops it)")
        if settings.SECURE_SSL_REDIRECT:
            self._say(f"Your reverse proxy passes its requests to http://{host}:{port}/.")
            if not settings.TRUSTED_PROXY:
                self._say(
                    "EXERGUE_TRUSTED_PROXY is not set: the proxy is not believed that a request "
                    "came by https, and every page leads to itself. Set it to the proxy's address."
                )
        elif host in EVERYWHERE and _on_this_machine():
            self._say(
                "Only this machine can use it so. For others, set EXERGUE_SITE to the address by "
                f"which they reach it, such as http://192.168.0.7:{port}, and start it again."
            )
        if not Member.objects.exists():
            self._say("Nobody can sign in yet. Run: python manage.py first_administrator NAME")


def _site_is(host: str, port: int) -> None:
    """Without an address given, the site's is where the server listens."""
    named = "127.0.0.1" if host in EVERYWHERE else host
    settings.SITE_ADDRESS = f"http://{f'[{named}]' if ':' in named else named}:{port}"
    settings.ALLOWED_HOSTS.append(f"[{named}]" if ":" in named else named)
    settings.CSRF_TRUSTED_ORIGINS.append(settings.SITE_ADDRESS)
    os.environ["EXERGUE_SITE"] = settings.SITE_ADDRESS


def _on_this_machine() -> bool:
    return urlsplit(settings.SITE_ADDRESS).hostname in ("127.0.0.1", "localhost")


def _check_database() -> None:
    try:
        executor = MigrationExecutor(connection)
        missing = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except Error as error:
        raise CommandError(f"The database does not answer: {error}") from error
    if missing:
        raise CommandError(
            f"The database lacks {len(missing)} steps of this version. Make a copy of it, then "
            "run: python manage.py migrate"
        )


def _server_settings(host: str, port: int) -> dict[str, Any]:
    """Waitress's settings; forwarded headers are believed from the trusted proxy alone."""
    chosen: dict[str, Any] = {
        "host": host,
        "port": port,
        "threads": THREADS,
        "ident": None,
        "asyncore_use_poll": True,
        "clear_untrusted_proxy_headers": True,
        "max_request_body_size": PICTURES_AT_ONCE * settings.UPLOAD_LIMIT_BYTES,
    }
    if settings.TRUSTED_PROXY:
        chosen["trusted_proxy"] = settings.TRUSTED_PROXY
        chosen["trusted_proxy_headers"] = PROXY_HEADERS
    return chosen


def _end(signum: int, frame: Any) -> None:
    sys.exit(0)
