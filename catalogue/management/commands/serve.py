"""``manage.py serve``: the whole site on one machine, web server and task worker."""

from __future__ import annotations

import gc
import logging
import os
import signal
import socket
import sys
import threading
from argparse import SUPPRESS, ArgumentParser
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application
from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor
from waitress.server import create_server

from catalogue.models import Member
from catalogue.site.companions import Companions, end_with_the_server
from catalogue.site.served_at import noted
from catalogue.site.warming import warm
from catalogue.site.web_fonts import STYLESHEET, make_web_fonts

log = logging.getLogger(__name__)

THREADS = 8  # of a process alone
THREADS_OF_SEVERAL = 4
MOST_PROCESSES = 4  # unless more are asked for: each keeps the columns in memory
CONNECTIONS = 2_000  # of a process; those that say nothing are let go after QUIET seconds
QUIET = 30
BACKLOG = 1_024
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
        parser.add_argument(
            "--processes",
            type=int,
            default=_cores(),
            help="processes that serve pages, as a rule one for each core (%(default)s)",
        )
        parser.add_argument("--beside", help=SUPPRESS)  # sockets of the server that started this

    def handle(self, *args: Any, **options: Any) -> None:
        if options["beside"]:
            return self._serve_beside(options["beside"])
        host, port, processes = options["host"], options["port"], options["processes"]
        if not 0 < port <= HIGHEST_PORT:
            raise CommandError(f"There is no port {port}. Choose one from 1 to {HIGHEST_PORT}.")
        if processes < 1:
            raise CommandError("At least one process serves pages. Leave --processes out.")
        if processes > 1 and os.name == "nt":
            raise CommandError("On Windows one process serves pages. Leave --processes out.")
        self._bring_up_to_date(steps=not options["no_worker"])
        if "EXERGUE_SITE" not in os.environ:
            _site_is(host, port)
        self._make_fonts()
        try:
            sockets = _listening(host, port)
        except OSError as error:
            raise CommandError(
                f"Cannot listen on {host}, port {port}: {error}. Choose another with --port."
            ) from error
        self._greet(host, port)
        companions = Companions(
            self._say,
            worker=not options["no_worker"],
            servers=processes - 1,
            sockets=sockets,
        )
        with noted(settings.SITE_ADDRESS, port):
            self._serve(sockets, THREADS if processes == 1 else THREADS_OF_SEVERAL, companions)
        self._say("Stopped.")

    def _serve(
        self, sockets: list[socket.socket], threads: int, companions: Companions | None = None
    ) -> None:
        """Answer requests until the end is asked for."""
        _allow_many_files()
        server = create_server(get_wsgi_application(), **_server_settings(sockets, threads))
        signal.signal(signal.SIGTERM, _end)
        threading.Thread(target=_make_ready, name="making ready", daemon=True).start()
        try:
            if companions is not None:
                companions.start()
            server.run()
        except KeyboardInterrupt:
            pass
        finally:
            server.close()
            if companions is not None:
                companions.stop()

    def _serve_beside(self, numbers: str) -> None:
        """Serve on the sockets of the server that started this process, until it ends."""
        end_with_the_server()
        sockets = [socket.socket(fileno=int(number)) for number in numbers.split(",")]
        self._serve(sockets, THREADS_OF_SEVERAL)

    def _bring_up_to_date(self, steps: bool) -> None:
        """Take the steps that the database lacks, after a backup; one of several machines says
        only that they are missing."""
        missing = _steps_missing()
        if missing and not steps:
            raise CommandError(
                f"The database lacks {missing} steps of this version. Run, on one machine while "
                "the others are stopped: python manage.py migrate"
            )
        if missing:
            self._say("Bringing the database up to this version…")
            call_command("migrate", verbosity=0, interactive=False, stdout=self.stdout)

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


def _steps_missing() -> int:
    try:
        executor = MigrationExecutor(connection)
        return len(executor.migration_plan(executor.loader.graph.leaf_nodes()))
    except Error as error:
        raise CommandError(f"The database does not answer: {error}") from error


def _cores() -> int:
    """The cores this process may use, at most MOST_PROCESSES; Windows keeps one process."""
    if os.name == "nt":
        return 1
    able = getattr(os, "sched_getaffinity", None)
    return min(len(able(0)) if able else os.cpu_count() or 1, MOST_PROCESSES)


def _listening(host: str, port: int) -> list[socket.socket]:
    """Sockets that listen at each address the host has; OSError when one cannot."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    sockets = []
    for family, _kind, _protocol, _name, address in dict.fromkeys(found):
        sockets.append(socket.create_server(address[:2], family=family, backlog=BACKLOG))
    return sockets


def _allow_many_files() -> None:
    """Let each connection have its file: the soft limit is often 1,024 or even 256."""
    try:
        import resource
    except ImportError:  # Windows
        return
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = 2 * CONNECTIONS
    if soft != resource.RLIM_INFINITY and soft < wanted:
        most = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))


def _server_settings(sockets: list[socket.socket], threads: int) -> dict[str, Any]:
    """Waitress's settings; forwarded headers are believed from the trusted proxy alone."""
    chosen: dict[str, Any] = {
        "sockets": sockets,
        "threads": threads,
        "ident": None,
        "asyncore_use_poll": True,
        "clear_untrusted_proxy_headers": True,
        "connection_limit": CONNECTIONS,
        "channel_timeout": QUIET,
        "cleanup_interval": QUIET // 3,
        "max_request_body_size": PICTURES_AT_ONCE * settings.UPLOAD_LIMIT_BYTES,
    }
    if settings.TRUSTED_PROXY:
        chosen["trusted_proxy"] = settings.TRUSTED_PROXY
        chosen["trusted_proxy_headers"] = PROXY_HEADERS
    return chosen


def _make_ready() -> None:
    """What browsing and ranking look into; then leave what is there alone when memory is tidied."""
    warm()
    gc.collect()
    gc.freeze()


def _end(signum: int, frame: Any) -> None:
    sys.exit(0)
