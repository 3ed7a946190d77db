"""The two kinds of room: computing modules import no Django and show a worked example.

The list stands once, in pyproject.toml, where the import contract reads it too.
"""

from __future__ import annotations

import ast
import doctest
import importlib
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOOLS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]
CONTRACTS = TOOLS["importlinter"]["contracts"]
COMPUTING = next(c for c in CONTRACTS if c["name"].startswith("Computing"))["source_modules"]


def _all_modules() -> dict[str, Path]:
    return {
        ".".join(path.relative_to(ROOT).with_suffix("").parts): path
        for app in ("series", "catalogue", "valuation")
        for path in (ROOT / app).rglob("*.py")
        if "migrations" not in path.parts
    }


@cache
def _imports(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module or "")
    return names


def _brings_django(*names: str) -> bool:
    """Whether a fresh interpreter that imports these modules has Django too."""
    code = f"import sys, {', '.join(names)}; sys.exit('django' in sys.modules)"
    return subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode != 0


@pytest.fixture(scope="module")
def one_brings_django() -> bool:
    """Whether any of them does: as long as none does, one interpreter is asked for all."""
    return _brings_django(*COMPUTING)


@pytest.mark.parametrize("name", COMPUTING)
def test_a_computing_module_brings_no_django(name: str, one_brings_django: bool) -> None:
    assert not (one_brings_django and _brings_django(name))


@pytest.mark.parametrize("name", COMPUTING)
def test_a_computing_module_has_a_worked_example_that_runs(name: str) -> None:
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.attempted > 0
    assert outcome.failed == 0


def test_every_module_that_touches_no_database_or_web_is_listed() -> None:
    modules = _all_modules()
    talking = {
        name
        for name, path in modules.items()
        if any(i.split(".")[0].startswith(("django", "axes", "csp")) for i in _imports(path))
    }
    grown = True
    while grown:
        more = {n for n, p in modules.items() if n not in talking and _imports(p) & talking}
        talking |= more
        grown = bool(more)
    plain = {"catalogue.models", "series.models", "valuation.models"}
    left = {
        name
        for name, path in modules.items()
        if path.read_text().strip()
        and name not in talking | plain | set(COMPUTING)
        and path.name != "urls.py"
    }
    assert left == set()


def test_package_inits_are_empty() -> None:
    for path in ROOT.glob("[csv]*/**/__init__.py"):
        assert path.read_text() == "", path
