"""Where photographs, papers and sheets are stored: a folder in which every file is whole."""

from __future__ import annotations

import os
from pathlib import Path

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

from catalogue.site.whole_files import write_whole


class WholeFileStorage(FileSystemStorage):
    """Django's storage in a folder, with the writing made safe."""

    def _save(self, name: str, content: File) -> str:  # type: ignore[type-arg]
        path = Path(self.path(name))
        os.makedirs(path.parent, mode=self.directory_permissions_mode or 0o777, exist_ok=True)  # noqa: PTH103 the mode holds for each folder made
        write_whole(path, content.chunks(), self.file_permissions_mode)
        return name.replace("\\", "/")
