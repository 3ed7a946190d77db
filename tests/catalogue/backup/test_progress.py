"""How far a command is, on a terminal; elsewhere nothing is written."""

from __future__ import annotations

import io

from catalogue.backup.progress import on_terminal


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_terminal_sees_the_last_state_of_each_part() -> None:
    terminal = Terminal()
    with on_terminal(terminal)("records", 10) as told:
        told(4)
    last = terminal.getvalue().split("\r")[-1]
    assert (last.startswith("records"), last.endswith("100%\n")) == (True, True)


def test_what_fails_ends_where_it_was() -> None:
    terminal = Terminal()
    try:
        with on_terminal(terminal)("records", 10) as told:
            told(4)
            raise OSError
    except OSError:
        pass
    assert terminal.getvalue().endswith(" 40%\n")


def test_a_file_sees_nothing() -> None:
    file = io.StringIO()
    with on_terminal(file)("records", 10) as told:
        told(10)
    assert file.getvalue() == ""
