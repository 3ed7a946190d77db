"""The packs that come with the site, read from their folders."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from series.entries.tables import KINDS, PackEntry
from series.packs.checks import Known
from series.packs.format import read_pack

PACKS = Path(__file__).parent.parent / "fixtures" / "packs"


def in_order_of_need() -> list[Path]:
    """The folders of all of them, each after the one it needs."""
    heads = {path.parent: tomllib.loads(path.read_text()) for path in PACKS.glob("*/pack.toml")}
    return sorted(heads, key=lambda folder: (bool(heads[folder].get("needs")), folder))


@cache
def shipped(name: str) -> PackEntry:
    """A pack that ships, read with the one it needs."""
    files = {path.name: path.read_text("utf-8") for path in (PACKS / name).glob("*.toml")}
    needs = tomllib.loads(files["pack.toml"]).get("needs")
    return read_pack(files, _known(shipped(needs)) if needs else None)


def _known(pack: PackEntry) -> Known:
    owners = {
        kind: dict.fromkeys((each.key for each in getattr(pack, kind)), f"pack {pack.key}")
        for kind in ("sources", *KINDS)
    }
    money = {
        kind: {each.key: each.currency for each in getattr(pack, kind)}
        for kind in ("denominations", "series")
    }
    return Known(owners, money, {each.key: each for each in pack.types})
