"""Where the site is served, so that a command beside the server prints links that open.

The server notes its address in the ``var`` folder while it runs.
"""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import urlsplit

from django.conf import settings

from catalogue.site.whole_files import write_whole

PATIENCE = 2.0  # s for a server on this machine to take a connection


def _note() -> Path:
    path: Path = settings.VAR_DIR / "served-at"
    return path


@contextmanager
def noted(address: str, port: int) -> Iterator[None]:
    """Keep the address of a running server noted, with the port it listens on."""
    note = _note()
    with suppress(OSError):  # a full disk keeps nobody from reading
        write_whole(note, [f"{address} {port}\n".encode()])
    try:
        yield
    finally:
        if _read()[1] == port:
            note.unlink(missing_ok=True)


def _read() -> tuple[str, int]:
    try:
        address, port = _note().read_text().split()
        return address, int(port)
    except (OSError, ValueError):
        return "", 0


def believe_the_server() -> bool:
    """Take the running server's address as the site's; False when none runs here.

    An address given in the environment stands. A note that a killed server left is not believed.
    """
    if "EXERGUE_SITE" in os.environ:
        return True
    address, port = _read()
    if not address:
        return False
    try:
        socket.create_connection((urlsplit(address).hostname or "", port), PATIENCE).close()
    except OSError:
        return False
    settings.SITE_ADDRESS = address
    return True


NOT_SERVED = (
    "The site is not being served now. Start it with: python manage.py serve\n"
    "If it is then served at another address, put that in the place of {address}."
)
