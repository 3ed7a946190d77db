"""The one-machine server: started as a process of its own, asked over the network, stopped."""

from __future__ import annotations

import os
import re
import signal
import socket
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.served import PATIENCE, Served, free_port, manage


@pytest.fixture(scope="module")
def var(tmp_path_factory: Any, with_tables: Callable[[Path], Path]) -> Path:
    return with_tables(tmp_path_factory.mktemp("served"))


@pytest.fixture
def served(var: Path) -> Iterator[Served]:
    server = Served(var)
    yield server
    server.end()


def _runs(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_it_serves_pages_and_the_stylesheet_and_stops(served: Served) -> None:
    served.wait_for(rf"served at http://127\.0\.0\.1:{served.port}/")
    served.wait_for("first_administrator")
    worker = int(served.wait_for(r"process (\d+)")[1])
    assert served.get("/health/")[::2] == (
        200,
        b'{"ok": true, "room": "enough", "backup": "recent"}',
    )
    status, headers, page = served.get("/sign-in/")
    assert status == 200
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "server" not in headers
    sheet = re.search(rb'href="(/static/[^"]+\.css)"', page)
    assert sheet
    assert served.get(sheet[1].decode())[0] == 200

    assert served.get("/link/s3cret-token/")[0] == 404
    assert served.get("/list/s3cret-token/nothing/")[0] == 404
    assert served.stop() == 0
    assert not _runs(worker)
    logged = served.log.read_text()
    assert "/link/…/" in logged
    assert "s3cret" not in logged


def test_a_worker_that_dies_is_replaced_and_ctrl_c_ends_all(served: Served) -> None:
    first = int(served.wait_for(r"process (\d+)")[1])
    os.kill(first, signal.SIGKILL)
    second = int(served.wait_for(r"process (\d+)")[1])
    assert second != first
    assert served.stop(signal.SIGINT) == 0
    assert not _runs(second)


def test_the_worker_ends_when_the_server_is_killed(served: Served) -> None:
    served.wait_for(r"process \d+")
    served.process.kill()
    # The worker holds the same pipe: it is closed only when the worker has ended too.
    served.process.communicate(timeout=PATIENCE)


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps one process")
def test_a_server_process_that_dies_is_replaced_and_all_end_together(var: Path) -> None:
    server = Served(var, "--processes", "2", "--no-worker")
    try:
        first = int(server.wait_for(r"served by process (\d+)")[1])
        os.kill(first, signal.SIGKILL)
        second = int(server.wait_for(r"served by process (\d+)")[1])
        assert second != first
        assert {server.get("/health/")[0] for _ in range(8)} == {200}
        assert server.stop() == 0
        assert not _runs(second)
    finally:
        server.end()


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps one process")
def test_the_other_server_ends_when_the_first_is_killed(var: Path) -> None:
    server = Served(var, "--processes", "2", "--no-worker")
    try:
        server.wait_for(r"served by process \d+")
        server.process.kill()
        # The other holds the same pipe: it is closed only when that has ended too.
        server.process.communicate(timeout=PATIENCE)
    finally:
        server.end()


def test_connections_that_say_nothing_or_half_a_request_do_not_stop_it(served: Served) -> None:
    served.wait_for("served at")
    held = []
    try:
        for number in range(250):  # more than twice what one process took before
            each = socket.create_connection(("127.0.0.1", served.port), PATIENCE)
            each.sendall(b"GET /health/ HTTP/1.1\r\nHost: 127" if number % 2 else b"")
            held.append(each)
        assert served.get("/health/")[0] == 200
    finally:
        for each in held:
            each.close()


@pytest.mark.parametrize("processes", ["0", "-2"])
def test_no_process_is_refused_in_words(var: Path, processes: str) -> None:
    done = manage(var, "serve", "--processes", processes)
    assert done.returncode == 1
    assert "Leave --processes out" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_link_made_beside_the_server_names_the_site(var: Path) -> None:
    made = manage(var, "first_administrator", "ana", EXERGUE_SITE="https://coins.example.org")
    assert re.search(r"^https://coins\.example\.org/link/[\w-]{43}/$", made.stdout, re.MULTILINE)


def test_forwarded_headers_count_from_the_trusted_proxy_alone(var: Path) -> None:
    site = {"EXERGUE_SITE": "https://coins.example.org"}
    forwarded = {"Host": "coins.example.org", "X_Forwarded_Proto": "https"}
    for proxy, status in (("127.0.0.1", 200), ("192.0.2.1", 301), ("", 301)):
        server = Served(var, "--no-worker", **site, EXERGUE_TRUSTED_PROXY=proxy)
        try:
            server.wait_for("reverse proxy")
            assert server.get("/sign-in/", **forwarded)[0] == status
            assert server.get("/health/")[0] == 200
            server.stop()
            if not proxy:
                server.wait_for("EXERGUE_TRUSTED_PROXY is not set")
        finally:
            server.end()


@pytest.mark.parametrize(
    ("proxy", "counted"),
    [("127.0.0.1", "203.0.113.5"), ("192.0.2.1", "127.0.0.1"), ("", "127.0.0.1")],
)
def test_a_wrong_password_counts_for_the_address_that_the_proxy_saw(
    var: Path, proxy: str, counted: str
) -> None:
    """What a visitor says of their own address stands first in the header and is not believed."""
    server = Served(var, "--no-worker", EXERGUE_TRUSTED_PROXY=proxy)
    name = f"guessed behind {proxy or 'none'}"
    forged = {"X_Forwarded_For": "198.51.100.9, 203.0.113.5", "X_Real_IP": "198.51.100.9"}
    try:
        server.wait_for("is served at")
        assert server.post("/sign-in/", {"username": name, "password": "no"}, **forged) == 200
    finally:
        server.end()
    kept = sqlite3.connect(var / "exergue.sqlite3")
    rows = kept.execute("SELECT ip_address FROM axes_accessattempt WHERE username = ?", [name])
    assert rows.fetchall() == [(counted,)]
    kept.close()


def test_it_says_so_when_the_database_lacks_steps(tmp_path: Path) -> None:
    """One of several machines does not take them by itself (tests/upgrade: one that does)."""
    done = manage(tmp_path, "serve", "--no-worker", "--port", str(free_port()))
    assert done.returncode == 1
    assert "manage.py migrate" in done.stderr
    assert "Traceback" not in done.stderr


def test_it_says_so_when_the_port_is_taken(var: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        done = manage(var, "serve", "--port", str(taken.getsockname()[1]))
    assert done.returncode == 1
    assert "Choose another with --port" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("port", ["99999", "0", "-1"])
def test_a_port_that_there_is_not_is_refused_in_words(var: Path, port: str) -> None:
    done = manage(var, "serve", "--port", port)
    assert done.returncode == 1
    assert f"no port {port}" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("key", ["", "k"])
def test_a_key_that_protects_nothing_starts_nothing(tmp_path: Path, key: str) -> None:
    (tmp_path / "secret-key").write_text(key)
    kept = manage(tmp_path, "serve")
    given = manage(tmp_path / "other", "serve", EXERGUE_SECRET_KEY=key)
    for done in (kept, given):
        assert done.returncode == 1
        assert f"a secret key of {len(key)} characters" in done.stderr
        assert "Traceback" not in done.stderr


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = manage(tmp_path / "file" / "var", "serve")
    assert done.returncode == 1
    assert "Set EXERGUE_VAR" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_link_made_beside_the_server_opens_there(
    tmp_path: Path, with_tables: Callable[[Path], Path]
) -> None:
    with_tables(tmp_path)
    before = manage(tmp_path, "first_administrator", "ana").stdout
    assert "not being served now" in before
    server = Served(tmp_path, "--no-worker")
    try:
        server.wait_for("served at")
        made = manage(tmp_path, "hand_link", "ana").stdout
        found = re.search(rf"http://127\.0\.0\.1:{server.port}(/link/\S+/)", made)
        assert found, made
        assert server.get(found[1])[0] == 200
        server.stop()
    finally:
        server.end()
    assert "not being served now" in manage(tmp_path, "hand_link", "ana").stdout


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps rights otherwise")
def test_what_the_site_writes_is_for_its_user_alone(tmp_path: Path) -> None:
    assert manage(tmp_path / "var", "migrate", "-v0").returncode == 0
    written = [tmp_path / "var", *(tmp_path / "var").iterdir()]
    assert {path.name: path.stat().st_mode & 0o077 for path in written} == {
        path.name: 0 for path in written
    }
    assert len(written) > 2
