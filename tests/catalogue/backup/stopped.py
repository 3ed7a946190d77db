"""A command of the site, in a process that stops at one of its steps, says so and waits for a line.

``python -m tests.catalogue.backup.stopped N COMMAND …``: step N (0: none; it then says how many
steps there were). A step is each row, file or piece of a file that the command tells it has done.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")


def main() -> None:
    stop_at, command = int(sys.argv[1]), sys.argv[2]
    django.setup()
    from django.core.management import call_command

    from catalogue.management.commands import backup, restore

    done = 0

    @contextmanager
    def stopping(what: str, total: int) -> Iterator[Callable[[int], None]]:
        def told(count: int) -> None:
            nonlocal done
            done += 1
            if done == stop_at:
                print(f"stopped in {what}", flush=True)
                sys.stdin.readline()

        yield told

    for module in (backup, restore):
        module.on_terminal = lambda: stopping  # type: ignore[attr-defined]
    call_command(command, *sys.argv[3:])
    print(f"{done} steps", flush=True)


if __name__ == "__main__":
    main()
