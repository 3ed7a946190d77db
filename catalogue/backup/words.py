"""What is said of backups on the command line: plain English sentences.

>>> missing("files/pictures/ab/abc-full.webp")
'files/pictures/ab/abc-full.webp is listed, but not in the file.'
"""

from __future__ import annotations

NO_BACKUP = "This is no backup of Exergue. Give the file that manage.py backup wrote."
CUT = (
    "The file ends too early: it was cut short when it was written or copied. Copy it again, or "
    "take another backup."
)
MANIFEST_ALTERED = (
    "The list of what is in the backup (manifest.jsonl) was altered or damaged. "
    "Take another backup."
)
ROW_UNREADABLE = "A row of the backup cannot be read. Take another backup."
NEWER_FORM = "This backup was made by a newer release. Update this site, then try again."


def out_of_order(name: str) -> str:
    return f"{name} does not stand where the list has it."


def unsafe(name: str) -> str:
    return f"{name!r} is a name that no backup has, or has twice."


def missing(name: str) -> str:
    return f"{name} is listed, but not in the file."


def not_listed(name: str) -> str:
    return f"{name} is in the file, but not listed."


def other_size(name: str, found: int, listed: int) -> str:
    return f"{name} has {found} bytes; {listed} are listed."


def altered(name: str) -> str:
    return f"{name} was altered or damaged: its SHA-256 is not the one listed."


def other_rows(name: str, found: int, listed: int | None) -> str:
    return f"{name} has {found} rows; {listed} are listed."


def not_unpacked(name: str) -> str:
    return f"{name} cannot be unpacked."


def unknown_release(names: list[str]) -> str:
    return (
        f"This backup was made by a release that this one does not know ({', '.join(names)}). "
        "Update this site, then restore."
    )
