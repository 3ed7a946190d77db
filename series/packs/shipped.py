"""The packs that come with the site, and which of them are loaded."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from series.models import Pack
from series.packs.format import said_in_head
from series.packs.load import folder_files


@dataclass(frozen=True)
class Shipped:
    """A pack that comes with the site; ``loaded`` is the version that was loaded, None for none."""

    folder: Path
    key: str
    title: str
    version: str
    about: str
    needs: str
    loaded: str | None


def shipped_packs() -> list[Shipped]:
    """All of them by title. One query."""
    loaded = dict(Pack.objects.values_list("key", "version"))
    found = []
    for folder in sorted((Path(settings.BASE_DIR) / "fixtures" / "packs").iterdir()):
        if not (folder / "pack.toml").is_file():
            continue
        files = folder_files(folder)
        said = {
            name: said_in_head(files, name)
            for name in ("key", "title", "version", "about", "needs")
        }
        found.append(Shipped(folder, loaded=loaded.get(said["key"]), **said))
    return sorted(found, key=lambda each: each.title)


def in_order(keys: Iterable[str], packs: Iterable[Shipped]) -> list[Shipped]:
    """The packs with these keys, each after the one it needs if that is not loaded."""
    by_key = {each.key: each for each in packs}
    found: dict[str, Shipped] = {}

    def add(key: str, asked: bool) -> None:
        pack = by_key.get(key)
        if pack is None or key in found or not (asked or pack.loaded is None):
            return
        add(pack.needs, asked=False)
        found[key] = pack

    for key in keys:
        add(key, asked=True)
    return list(found.values())
