"""Break the computing rooms on purpose, one place at a time, and count what the tests notice.

``python -m tests.mutants series.dates series.years --sample 50 --seed 1`` changes fifty places
drawn by lot in each of the two rooms (an operator, a number, a condition) and runs tests each
time. Whatever they don't notice is printed as a difference: a test is missing there, or the
change makes none (an equivalent mutant), which only a reader can tell.

What may notice are the worked examples of the room and all test files that import one of its
modules: first those that, like the room, bring no Django, then those with Django and a database
and those whose tests take what a ``conftest.py`` makes. Fewer examples are drawn by lot than the
suite draws, and tests that take more than ``SLOW`` are left out; nor are pages asked for by tests
that import nothing of the room. So the suite may notice a little more than is said here.
Everything is done in a copy. It needs the extra ``mutants``.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import doctest
import importlib
import io
import multiprocessing
import os
import random
import resource
import shutil
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import hypothesis
import pytest
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

ROOT = Path(__file__).parents[1]
APPS = ("catalogue", "series", "valuation", "tests")
APART = ("tests/browser", "tests/bench", "tests/upgrade")
# Without a decorator a thing either fails at once or is only slower.
UNUSED = {"core/RemoveDecorator"}
SECONDS_MORE = 20
SLOW = 0.5
"""Seconds of the processor."""
BOTH = ("-qx", "-n0", "--rootdir=.", "-pno:cacheprovider", "--import-mode=importlib")
PLAINLY = (*BOTH, "-c", os.devnull, "--noconftest", "-pno:django")
WITH_DJANGO = (*BOTH, "--no-migrations", "-m", "not browser")
FORK = multiprocessing.get_context("fork")
FINE = {pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED}
GIGABYTE = 2**30

Place = tuple[str, tuple[int, int]]
Change = tuple[str, int]


@dataclass(frozen=True)
class Mutant:
    """A module, and what it reads after one place of it was changed."""

    module: str
    source: str
    changed: str

    def told(self) -> str:
        lines = difflib.unified_diff(
            self.source.splitlines(), self.changed.splitlines(), n=0, lineterm=""
        )
        head, *body = list(lines)[2:]
        return "\n    ".join([f"{self.module} {head}", *(line for line in body)])


def path_of(module: str) -> Path:
    """Its file in the working directory, which is the copy."""
    return Path(module.replace(".", "/") + ".py")


def computing() -> list[str]:
    """The computing modules, as ``pyproject.toml`` lists them."""
    tools = tomllib.loads(Path("pyproject.toml").read_text())["tool"]
    contracts = tools["importlinter"]["contracts"]
    modules: list[str] = next(
        each["source_modules"] for each in contracts if each["name"].startswith("Computing")
    )
    return modules


def in_room(room: str) -> list[str]:
    return [name for name in computing() if f"{name}.".startswith(f"{room}.")]


@cache
def imported(path: Path) -> frozenset[str]:
    """All dotted names that a file imports, of modules and of what is in them."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return frozenset(names)


@cache
def reached(path: Path) -> frozenset[str]:
    """All names that a file imports, itself or through other files of the project."""
    seen: set[str] = set()
    ahead = [path]
    while ahead:
        new = imported(ahead.pop()) - seen
        seen |= new
        ahead += [path_of(name) for name in new if path_of(name).exists()]
    return frozenset(seen)


def tests_of(modules: list[str]) -> list[Path]:
    """The test files that import one of these modules."""
    return [
        path
        for path in sorted(Path("tests").rglob("test_*.py"))
        if not str(path).startswith(APART) and imported(path) & set(modules)
    ]


def brings_django(test: Path) -> bool:
    return any(name.startswith(("django.", "whitenoise.")) for name in reached(test))


class Quickly:
    """Plain examples before those drawn by lot, always the same ones, and no shrinking."""

    def __init__(self, left_out: frozenset[str] = frozenset()) -> None:
        self.left_out = left_out
        self.spent: dict[str, float] = {}
        self.lacking: set[Path] = set()

    def pytest_sessionstart(self) -> None:
        phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
        hypothesis.settings.register_profile(
            "mutants",
            deadline=None,
            derandomize=True,
            database=None,
            phases=phases,
            max_examples=20,
        )
        hypothesis.settings.load_profile("mutants")

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        self.lacking = {
            item.path.relative_to(Path.cwd()) for item in filter(lacks_a_fixture, items)
        }
        fit = [i for i in items if not lacks_a_fixture(i) and i.nodeid not in self.left_out]
        items[:] = sorted(fit, key=lambda item: getattr(item.obj, "is_hypothesis_test", False))

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: Any) -> Any:
        begun = time.process_time()
        outcome = yield
        self.spent[item.nodeid] = time.process_time() - begun
        return outcome

    def slow(self) -> frozenset[str]:
        return frozenset(name for name, seconds in self.spent.items() if seconds > SLOW)


def lacks_a_fixture(item: Any) -> bool:
    """Whether a test asks for something that only the tests with Django are given."""
    known = item._fixtureinfo.name2fixturedefs
    return bool(set(item.fixturenames) - set(known) - {"request"})


def examples_fail(modules: list[str]) -> bool:
    with redirect_stdout(io.StringIO()):
        return any(doctest.testmod(importlib.import_module(name)).failed for name in modules)


def tests_fail(how: Sequence[str], tests: list[Path], runner: Quickly) -> bool:
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        return bool(tests) and pytest.main([*how, *map(str, tests)], plugins=[runner]) not in FINE


@dataclass(frozen=True)
class Timed:
    """Whether tests failed, which are slow, how long all took, and which files lack a fixture."""

    failed: bool
    slow: frozenset[str]
    seconds: float
    lacking: frozenset[Path]


def timed(how: Sequence[str], tests: list[Path]) -> Timed:
    runner, begun = Quickly(), time.process_time()
    failed = tests_fail(how, tests, runner)
    seconds = time.process_time() - begun
    return Timed(failed, runner.slow(), seconds, frozenset(runner.lacking))


def forget_project() -> None:
    """The project's modules are imported anew; the libraries stay."""
    for name in [name for name in sys.modules if name.split(".")[0] in APPS]:
        if name != __name__:
            del sys.modules[name]
    importlib.invalidate_caches()


@dataclass(frozen=True)
class Room:
    """A room's name and modules, the test files without Django and with it, how long they take.

    Some tests of the files in ``lacking`` are given what they need only with Django.
    """

    name: str
    modules: list[str]
    plain: list[Path]
    others: list[Path]
    lacking: frozenset[Path]
    slow: frozenset[str]
    seconds: int

    def notices(self, module: str) -> bool:
        """Whether anything fails that may notice a change of this module."""
        examples = [m for m in self.modules if m == module or module in reached(path_of(m))]
        plain = [test for test in self.plain if module in reached(test)]
        others = [test for test in self.others if module in reached(test)]
        others += [test for test in plain if test in self.lacking]
        others.sort(key=lambda test: module not in imported(test))  # the nearest first
        return (
            examples_fail(examples)
            or tests_fail(PLAINLY, plain, Quickly(self.slow))
            or tests_fail(WITH_DJANGO, others, Quickly(self.slow))
        )


def unbroken(name: str, django: bool) -> Room:
    """The room, after its tests were run once as it is."""
    modules = in_room(name)
    tests = tests_of(modules)
    plain = [test for test in tests if not brings_django(test)]
    others = [test for test in tests if django and brings_django(test)]
    forget_project()
    here = timed(PLAINLY, plain)
    lacking = here.lacking if django else frozenset()
    failed = here.failed or examples_fail(modules)
    forget_project()
    with ProcessPoolExecutor(1, FORK) as apart:  # Django is set up once in a process
        there = apart.submit(timed, WITH_DJANGO, [*others, *lacking]).result()
    if failed or there.failed:
        which = "with Django " * (not failed)
        raise SystemExit(f"The tests of {name} {which}fail before anything is changed.")
    seconds = int(3 * (here.seconds + there.seconds)) + SECONDS_MORE
    slow = here.slow | there.slow
    return Room(name, modules, plain, others, lacking, slow, seconds)


def limited(room: Room, module: str) -> None:
    """In a process of its own: exit with 1 if the tests fail or need far more than before."""
    resource.setrlimit(resource.RLIMIT_CPU, (room.seconds, room.seconds))
    resource.setrlimit(resource.RLIMIT_AS, (4 * GIGABYTE, 4 * GIGABYTE))
    sys.dont_write_bytecode = True
    try:
        failed = room.notices(module)
    except BaseException:
        failed = True
    os._exit(int(failed))


def noticed(mutant: Mutant, room: Room) -> bool:
    path = path_of(mutant.module)
    shutil.rmtree(path.parent / "__pycache__", ignore_errors=True)
    path.write_text(mutant.changed)
    process = FORK.Process(target=limited, args=(room, mutant.module))
    process.start()
    process.join(room.seconds * 20)
    process.kill()
    process.join()
    path.write_text(mutant.source)
    return process.exitcode != 0


def meaning(source: str) -> str | None:
    """What a module says, but for its annotations, which nobody asks; none if it says nothing."""
    try:
        tree = ast.parse(source)
    except SyntaxError:
        return None
    for node in ast.walk(tree):
        if isinstance(node, ast.AnnAssign):
            node.annotation = ast.Constant("")
        elif isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.FunctionDef):
            node.returns = None
    return ast.dump(tree)


def places(module: str) -> Iterator[tuple[Place, Change]]:
    """Each place of a module that can be changed, with each way to change it."""
    nodes = list(ast_nodes(get_ast(path_of(module).read_text())))
    for name in operator_names():
        kind = get_operator(name)
        if name in UNUSED or kind.arguments():
            continue
        spots = (start for node in nodes for start, _ in kind().mutation_positions(node))
        for occurrence, start in enumerate(spots):
            yield (module, start), (name, occurrence)


def drawn(modules: list[str], sample: int, seed: int) -> list[Mutant]:
    """At most so many mutants, each in a place of its own."""
    ways: dict[Place, list[Change]] = {}
    for module in modules:
        for place, change in places(module):
            ways.setdefault(place, []).append(change)
    lot = random.Random(seed)
    mutants: list[Mutant] = []
    for place in lot.sample(sorted(ways), len(ways)):
        if len(mutants) < sample:
            mutants += made(place[0], lot.choice(ways[place]))
    return mutants


def made(module: str, change: Change) -> list[Mutant]:
    """The mutant, unless the change leaves no Python or nothing changed."""
    source = path_of(module).read_text()
    name, occurrence = change
    changed = mutate_code(source, get_operator(name)(), occurrence)
    if changed is None or meaning(changed) in {None, meaning(source)}:
        return []
    return [Mutant(module, source, changed)]


def try_room(name: str, sample: int, seed: int, django: bool) -> tuple[int, int]:
    """Print what is not noticed, and give how many mutants there were and how many were."""
    room = unbroken(name, django)
    print(
        f"{name}: {len(room.modules)} modules, {len(room.plain)} test files and {len(room.others)} "
        f"with Django; {len(room.slow)} tests are slow and left out",
        flush=True,
    )
    mutants = drawn(room.modules, sample, seed)
    killed = 0
    for mutant in mutants:
        if noticed(mutant, room):
            killed += 1
        else:
            print(f"  not noticed: {mutant.told()}", flush=True)
    print(f"{name}: {killed} of {len(mutants)} noticed", flush=True)
    return len(mutants), killed


def copied(folder: str) -> None:
    """Work in a copy of the project from here on."""
    copy = Path(folder).resolve() / "copy"
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".*", "__pycache__", "var"))
    os.chdir(copy)
    sys.path.insert(0, str(copy))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("rooms", nargs="+", metavar="room", help="a package or module, dotted")
    parser.add_argument("--sample", type=int, default=50, help="mutants in each room")
    parser.add_argument("--seed", type=int, default=1, help="another number draws others")
    parser.add_argument("--without-django", action="store_true", help="only the quick tests")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        copied(folder)
        empty = [room for room in asked.rooms if not in_room(room)]
        if empty:
            parser.error(f"no computing modules in {', '.join(empty)}; pyproject.toml lists them")
        rules = asked.sample, asked.seed, not asked.without_django
        figures = [try_room(room, *rules) for room in asked.rooms]
    print("room\tmutants\tnoticed\tnot\tshare")
    for room, (count, killed) in zip(asked.rooms, figures, strict=True):
        print(f"{room}\t{count}\t{killed}\t{count - killed}\t{killed / max(count, 1):.0%}")


if __name__ == "__main__":
    main()
