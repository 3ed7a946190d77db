"""A mail server for tests: it takes every mail handed to it and keeps its text."""

from __future__ import annotations

import queue
import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from email import message_from_bytes, policy


class MailSink(socketserver.ThreadingTCPServer):
    """Speaks as much SMTP (RFC 5321) as a client needs to hand over a mail."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.mails: queue.Queue[bytes] = queue.Queue()

    @property
    def address(self) -> str:
        return f"smtp://127.0.0.1:{self.server_address[1]}"

    def text(self, patience: float) -> str:
        """The text of the next mail; fails when none comes."""
        mail = message_from_bytes(self.mails.get(timeout=patience), policy=policy.default)
        body = mail.get_body(("plain",))
        assert body is not None
        text: str = body.get_content()
        return text


class _Talk(socketserver.StreamRequestHandler):
    server: MailSink

    def handle(self) -> None:
        self._say(b"220 here")
        for line in self.rfile:
            word = line[:4].upper().strip()
            if word == b"DATA":
                self._say(b"354 go on")
                self.server.mails.put(b"".join(self._lines()))
            self._say(b"221 bye" if word == b"QUIT" else b"250 well")
            if word == b"QUIT":
                return

    def _lines(self) -> Iterator[bytes]:
        for line in self.rfile:
            if line == b".\r\n":
                return
            yield line[1:] if line.startswith(b"..") else line

    def _say(self, words: bytes) -> None:
        self.wfile.write(words + b"\r\n")


@contextmanager
def mail_sink() -> Iterator[MailSink]:
    with MailSink() as sink:
        threading.Thread(target=sink.serve_forever, daemon=True).start()
        yield sink
        sink.shutdown()
