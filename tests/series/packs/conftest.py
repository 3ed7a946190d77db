"""A small invented pack, whole and right, for tests to change one thing in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from series.models import CoinType

PACK = """
key = "isle"
title = "Coins of the Isle"
version = "1"

[[sources]]
key = "isle-act"
title = "Coinage Act"
"""

MONEY = """
[[issuers]]
key = "isle"
name = "Isle"
years = "1900–"
citations = ["isle-act: section 1"]

[[currencies]]
key = "isle-pound"
name = "pound"
issuers = ["isle"]
units = { shilling = 20, penny = 240 }
price_notes = [{ year = 1931, amount = "1 shilling", bought = "2 loaves" }]

[[denominations]]
key = "isle-penny"
name = "penny"
currency = "isle-pound"
value = "1/240"

[[denominations]]
key = "isle-shilling"
name = "shilling"
currency = "isle-pound"
value = "1/20"

[[mints]]
key = "isle-mint"
name = "Harbour"
issuer = "isle"

[[people]]
key = "isle-ada-moy"
name = "Ada Moy"
born = "1889~"

[[motifs]]
key = "bird"

[[motifs]]
key = "herring-gull"
broader = ["bird"]

[[series]]
key = "isle-first"
name = "First"
issuer = "isle"
currency = "isle-pound"
"""

TYPES = """
[[types]]
key = "isle-penny-gull"
series = "isle-first"
denomination = "isle-penny"
composition = "bronze"
diameter_mm = 25.4
thickness_mm = 1.6
mass_g = 6.5
alignment = 12
edge = "plain"
marks = [
  { text = "S", side = "reverse", clock = 6, mint = "isle-mint" },
  { text = "A.M.", kind = "signature", side = "obverse", person = "isle-ada-moy", on_all = true },
]
dates = "1931–33, 1931 S, 1940 not struck, 1952 (1953), 1953 S proof"
mintages = { "1931" = 12000, "1931 S" = 800 }

[types.obverse]
legends = [
  "ISLE",
  { text = "جزيرة", script = "Arab", transliteration = "jazīra", translation = "isle" },
]
motifs = ["herring-gull: on a post"]
designers = ["isle-ada-moy"]

[types.reverse]
description = "Value in a wreath."
value_as = "words"

[[types.issues]]
date = "1953 S proof"
mintage = 25
references = [{ work = "Moy", edition = "2", number = "14" }]
varieties = [{ key = "wide-3", name = "wide 3" }]

[[types]]
key = "isle-shilling-gull"
like = "isle-penny-gull"
denomination = "isle-shilling"
composition = "Cu75Ni25"
diameter_mm = 23.5
mass_g = 5.65
dates = "1931–32"
obverse.border = "beaded"
"""


Files = Callable[..., dict[str, str]]
Folder = Callable[..., Path]


@pytest.fixture
def files() -> Files:
    """Makes the texts of the pack's files; a changed one by its name without ``.toml``."""

    def make(**changed: str) -> dict[str, str]:
        texts = {"pack": PACK, "money": MONEY, "types": TYPES} | changed
        return {f"{name}.toml": text for name, text in texts.items()}

    return make


@pytest.fixture
def folder(files: Files, tmp_path: Path) -> Folder:
    """Writes the pack into a folder: ``folder(("bronze", "brass"))`` after replacing texts."""

    def make(*replaced: tuple[str, str], name: str = "isle") -> Path:
        path = tmp_path / name
        path.mkdir(exist_ok=True)
        for file, text in files().items():
            for old, new in replaced:
                text = text.replace(old, new)
            (path / file).write_text(text, "utf-8")
        return path

    return make


def penny() -> CoinType:
    """The pack's penny, as it is stored."""
    found: CoinType = CoinType.objects.get(key="isle-penny-gull")
    return found
