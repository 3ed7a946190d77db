"""Files on this machine's disk that are there whole or not at all.

A file is written beside its name, flushed to the disk and then renamed, so that neither a full
disk nor a killed process leaves half of one under a name that a record may trust.
"""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

UNFINISHED = ".unfinished"


class WholeFileStorage(FileSystemStorage):
    """Django's storage in a folder, with the writing made safe."""

    def _save(self, name: str, content: File) -> str:  # type: ignore[type-arg]
        path = Path(self.path(name))
        os.makedirs(path.parent, mode=self.directory_permissions_mode or 0o777, exist_ok=True)  # noqa: PTH103 the mode holds for each folder made
        beside = path.with_name(f"{secrets.token_hex(8)}{UNFINISHED}")
        try:
            with beside.open("xb") as file:
                for chunk in content.chunks():
                    file.write(chunk)
                file.flush()
                os.fsync(file.fileno())
            if self.file_permissions_mode is not None:
                beside.chmod(self.file_permissions_mode)
            beside.replace(path)
        except BaseException:
            beside.unlink(missing_ok=True)
            raise
        _flush_folder(path.parent)
        return name.replace("\\", "/")


def _flush_folder(folder: Path) -> None:
    """Let the new name last through a loss of power, where a folder can be flushed."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
