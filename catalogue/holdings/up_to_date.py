"""One thing worked out from all records, kept in memory, brought up to date with each change.

Where it is large, it is also kept on disk with the number of the change it stood at and that
number's mark, so that a process that starts maps the file and works in what changed since. A file
that is missing, damaged, of other code or of another database is passed over. Whoever removes a
person's data calls ``kept_files.forget_kept`` once that is committed: what is being written at that
moment is removed by the one who writes it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sized
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from catalogue.holdings.changes import changes_since, current_number, mark_of, may_be_undone
from catalogue.models import Change
from catalogue.site.kept_files import forgotten, keep, kept, only_one
from series.arrays import Arrays

KEPT_FROM = 3_000
"""Fewer entries than this are worked out in no time and not kept on disk."""
KEEP_AFTER = 500
"""Records changed since it was kept, before it is kept again; of kinds it is not made of, twenty
times as many (their numbers must stay known)."""
_SOONER = 450  # of these, taken as done when what was kept could not stay

Changed = list[tuple[str, int]]


Thing = TypeVar("Thing", bound=Sized)


@dataclass
class UpToDate(Generic[Thing]):
    """``make`` works the thing out; ``patch`` gives it with these records brought up to date, in
    place or anew; ``pack`` gives arrays and what JSON can say, of which ``unpack`` makes it.
    """

    name: str
    make: Callable[[], Thing]
    patch: Callable[[Thing, Changed], Thing]
    pack: Callable[[Thing], tuple[Arrays, dict[str, Any]]]
    unpack: Callable[[Arrays, dict[str, Any]], Thing]
    kinds: tuple[str, ...] = (Change.Kind.HOLDING, Change.Kind.TYPE)
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _thing: Thing | None = None
    _number: int = -1
    _behind: float = KEEP_AFTER  # records changed since what is on disk

    def current(self) -> Thing:
        """The thing as of the last committed change; one query when nothing changed.

        Within a transaction that changed something it is worked out anew and not kept, since the
        change may yet be undone.
        """
        if current_number() == self._number:
            thing = self._thing  # None while it is being changed
            if thing is not None:
                return thing
        if may_be_undone():
            return self.make()
        with self._lock:
            since = forgotten()  # before any record is read
            number = current_number()  # while this one waited, another may have gone further
            thing, self._thing = self._thing, None  # should this fail, the next reader begins anew
            if thing is not None:
                thing = self._patched(thing, number)
            if thing is None:
                thing = self._from_disk_or_anew(since)
            self._thing = thing
            self._keep_if_due(thing, since)
            return thing

    def forget(self) -> None:
        """Drop it, so that the next reader maps or makes it anew."""
        with self._lock:
            self._thing, self._number = None, -1

    def _patched(self, thing: Thing, number: int) -> Thing | None:
        """With what changed up to a number; None if that is not known, or was too much."""
        if number == self._number:
            return thing
        changed = changes_since(self._number) if number > self._number else None
        if changed is None or any(kind == Change.Kind.ALL for kind, _ in changed):
            return None
        thing = self.patch(thing, changed)
        self._behind += sum(1 if kind in self.kinds else 1 / 20 for kind, _ in changed)
        self._number = number
        return thing

    def _from_disk_or_anew(self, since: bytes) -> Thing:
        with only_one(self.name):  # a process that waited finds what the other one kept
            number = current_number()
            thing = self._from_disk()
            if thing is not None:
                thing = self._patched(thing, number)
            if thing is None:
                thing = self.make()
                self._number, self._behind = number, KEEP_AFTER
                self._keep_if_due(thing, since)
            return thing

    def _from_disk(self) -> Thing | None:
        found = kept(self.name)
        if found is None:
            return None
        number, mark = found.plain["number"], found.plain["mark"]
        if mark != mark_of(number):
            return None
        self._number, self._behind = number, 0
        return self.unpack(found.arrays, found.plain["rest"])

    def _keep_if_due(self, thing: Thing, since: bytes) -> None:
        if self._behind < KEEP_AFTER or len(thing) < KEPT_FROM:
            return
        mark = mark_of(self._number)
        if not mark:  # noted by an earlier release: the next change has one
            return
        self._behind = _SOONER
        arrays, rest = self.pack(thing)
        plain = {"number": self._number, "mark": mark, "rest": rest}
        if keep(self.name, arrays, plain, since):
            self._behind = 0
