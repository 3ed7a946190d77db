"""What the source does nowhere, so that nothing that is sent can be made to do it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
SOURCES = [
    path
    for app in ("catalogue", "series", "valuation")
    for path in (ROOT / app).rglob("*.py")
    if "migrations" not in path.parts
]


@cache
def _all_nodes() -> list[tuple[str, Any]]:
    return [
        (str(path.relative_to(ROOT)), node)
        for path in SOURCES
        for node in ast.walk(ast.parse(path.read_text()))
    ]


def _nodes(kind: type[ast.AST]) -> Iterator[tuple[str, Any]]:
    return (each for each in _all_nodes() if isinstance(each[1], kind))


def test_nothing_that_is_sent_can_become_code() -> None:
    """No eval or exec, and none of the formats that make objects of what they read."""
    barred = {"pickle", "marshal", "shelve", "yaml", "jsonpickle", "dill"}
    imported = [
        (where, name.name)
        for kind in (ast.Import, ast.ImportFrom)
        for where, node in _nodes(kind)
        for name in [*node.names, ast.alias(getattr(node, "module", "") or "")]
        if name.name.split(".")[0] in barred
    ]
    called = [
        (where, node.func.id)
        for where, node in _nodes(ast.Call)
        if isinstance(node.func, ast.Name) and node.func.id in {"eval", "exec", "compile"}
    ]
    assert (imported, called) == ([], [])


def test_nothing_reads_archives_or_xml_that_could_unfold_without_end() -> None:
    """Archives are only written, but where lists come in, which is done within limits."""
    readers = {"xml", "lxml", "tarfile", "gzip", "bz2", "lzma", "zlib"}
    imported = {
        (where, name)
        for kind in (ast.Import, ast.ImportFrom)
        for where, node in _nodes(kind)
        for name in [getattr(node, "module", None) or node.names[0].name]
        if name.split(".")[0] in readers
    }
    opened = [
        (where, ast.unparse(node))
        for where, node in _nodes(ast.Call)
        if ast.unparse(node.func) == "zipfile.ZipFile"
        and [ast.unparse(mode) for mode in node.args[1:2]] != ["'w'"]
    ]
    # In a process of its own, and in memory up to the size of one upload.
    limited = {
        "catalogue/importing/reading/unpacking.py",
        "catalogue/importing/picture_files.py",
        "catalogue/exports/opening.py",
    }
    # Which pack answers and pictures, and read none; the last reads a backup piece by piece, for
    # whoever keeps the machine, and no row of it without end.
    allowed = limited | {
        "catalogue/site/packing.py",
        "catalogue/demo/struck/light.py",
        "catalogue/demo/struck/strike.py",
        "catalogue/backup/container.py",
    }
    unlimited = [each for each in opened if each[0] not in limited]
    assert ({each for each in imported if each[0] not in allowed}, unlimited) == (set(), [])


def test_the_database_is_asked_with_values_apart_from_the_question() -> None:
    """No text of a question is put together from values: no raw or extra query, no format."""
    asked = [
        (where, ast.unparse(node)[:80])
        for where, node in _nodes(ast.Call)
        if isinstance(node.func, ast.Attribute)
        and (
            node.func.attr in {"raw", "extra", "RawSQL"}
            or (
                node.func.attr in {"execute", "executemany"}
                and node.args
                and isinstance(node.args[0], ast.JoinedStr | ast.BinOp | ast.Call)
            )
        )
    ]
    # A pragma takes no value apart; these are a constant and a number that was read from it.
    asked = [each for each in asked if "f'PRAGMA busy_timeout = " not in each[1]]
    # Rows laid ready beside the tables: what is put in are names of tables and columns of models.
    of_names = {"catalogue/history/keeping.py", "catalogue/importing/laid_ready.py"}
    assert [each for each in asked if each[0] not in of_names] == []


def test_no_command_is_given_to_a_shell() -> None:
    shells = [
        (where, ast.unparse(node)[:80])
        for where, node in _nodes(ast.Call)
        if any(word.arg == "shell" for word in node.keywords)
        or ast.unparse(node.func) in {"os.system", "os.popen"}
    ]
    assert shells == []
