"""The figures of one browsing page by hand-written SQL: the second peer, on SQLite and PostgreSQL.

The database is given its best plan. What search and visibility leave is put into one temporary
table, with a column that says whether a row misses a choice; each facet is grouped over that
table, leaving out its own choice. A facet with several values a row is first summed by the key
it hangs on (type, issue, holding, place).

``PlainSql`` asks the tables as they are, with joins. ``FlatSql`` asks one flat table derived from
them, and one more table for each facet of several values, which somebody would have to keep up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import connection

from catalogue.holdings.grades import BANDS
from catalogue.holdings.search.columns import Result, Value
from catalogue.models import Holding, HoldingProblem, Photo, Place
from series.models import (
    CoinType,
    Denomination,
    Face,
    FaceMotif,
    Issue,
    Issuer,
    Mark,
    Motif,
    Series,
)

PAGE = 60
H, T, S, D = (model._meta.db_table for model in (Holding, CoinType, Series, Denomination))
ISSUE, ISSUER, FACE, SHOWN = (m._meta.db_table for m in (Issue, Issuer, Face, FaceMotif))
MARK, PROBLEM, PHOTO, PLACE = (m._meta.db_table for m in (Mark, HoldingProblem, Photo, Place))
MOTIF, BROADER, MARKED = (
    m._meta.db_table for m in (Motif, Motif.broader.through, Mark.issues.through)
)

_GRADES = " ".join(
    f"WHEN h.grade_rank BETWEEN {band.low} AND {band.high} THEN '{band.key}'" for band in BANDS
)
SINGLE = {
    "country": "s.issuer_id",
    "currency": "d.currency_id",
    "series": "t.series_id",
    "denomination": "t.denomination_id",
    "metal": "NULLIF(t.metal, '')",
    "decade": "i.struck_from / 10 * 10",
    "grade": f"CASE {_GRADES} END",
    "owner": "h.owner_id",
    "status": "h.status",
    "spare": "CASE WHEN h.spare THEN 'yes' ELSE 'no' END",
    "photo": f"CASE WHEN EXISTS (SELECT 1 FROM {PHOTO} p WHERE p.holding_id = h.id"
    " AND p.deleted_at IS NULL) THEN 'yes' ELSE 'no' END",
}
SORTS = {
    "accession": "h.accession",
    "face": "d.sort_value",
    "country": "c.name",
    "grade": "h.grade_rank",
}
JOINED = f"""{H} h LEFT JOIN {T} t ON t.id = h.coin_type_id
LEFT JOIN {S} s ON s.id = t.series_id LEFT JOIN {ISSUER} c ON c.id = s.issuer_id
LEFT JOIN {D} d ON d.id = t.denomination_id LEFT JOIN {ISSUE} i ON i.id = h.issue_id"""


@dataclass(frozen=True)
class Hung:
    """A facet of several values: the key it hangs on, its tables, how they link, the value."""

    key: str  # a column of the found rows
    tables: str
    link: str  # equals the key
    value: str
    only: str = "1 = 1"


HUNG = {
    "mint": Hung(
        "issue_id",
        f"{MARKED} x CROSS JOIN {MARK} m",
        "x.issue_id",
        "m.mint_id",
        "m.id = x.mark_id AND m.kind = 'mint' AND m.mint_id IS NOT NULL",
    ),
    "problem": Hung("id", f"{PROBLEM} q", "q.holding_id", "q.kind"),
    "motif": Hung(
        "type_id",
        f"{FACE} f CROSS JOIN {SHOWN} n CROSS JOIN motif_above a",
        "f.coin_type_id",
        "a.high",
        "n.face_id = f.id AND a.low = n.motif_id",
    ),
    "place": Hung("place_id", "place_above b", "b.low", "b.high"),
}
ABOVE = {
    "motif_above": f"""WITH RECURSIVE up (low, high) AS (SELECT id, id FROM {MOTIF} UNION
SELECT up.low, w.to_motif_id FROM up JOIN {BROADER} w ON w.from_motif_id = up.high)
SELECT low, high FROM up""",
    "place_above": f"""WITH RECURSIVE up (low, high) AS (SELECT id, id FROM {PLACE} UNION
SELECT up.low, w.within_id FROM up JOIN {PLACE} w ON w.id = up.high
WHERE w.within_id IS NOT NULL AND w.deleted_at IS NULL) SELECT low, high FROM up""",
}


class PlainSql:
    """Browsing by joins over the site's own tables."""

    source = JOINED
    live = "h.deleted_at IS NULL"
    texts = ("h.search_text", "t.search_text")
    own_text = "h.own_text"  # searched in the viewer's own pieces alone
    single = SINGLE
    sorts = SORTS
    hung = HUNG
    keys = {"type_id": "h.coin_type_id", "issue_id": "h.issue_id", "place_id": "h.place_id"}
    fixed = {"id": "h.id", "owner_id": "h.owner_id", "quantity": "h.quantity"}
    visibility = "h.visibility"

    def __init__(self) -> None:
        postgres = connection.vendor == "postgresql"
        self.within = "strpos" if postgres else "instr"
        self.collate = ' COLLATE "C"' if postgres else ""
        if not postgres:
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA temp_store = MEMORY")

    def prepare(self, cursor: Any) -> None:
        """What the facets of several values need: which motif, which place stands above which."""
        for name, select in ABOVE.items():
            cursor.execute(f"DROP TABLE IF EXISTS {name}")
            cursor.execute(f"CREATE TEMP TABLE {name} AS {select}")
            cursor.execute(f"CREATE INDEX {name}_low ON {name} (low, high)")

    def query(
        self,
        viewer: int,
        words: list[str],
        choices: Mapping[str, Value],
        sort: str,
        descending: bool,
    ) -> Result:
        with connection.cursor() as cursor:
            self.prepare(cursor)
            self._find(cursor, viewer, words, choices, sort)
            counts = {
                name: self._counts(cursor, name, viewer, choices)
                for name in (*self.single, *self.hung)
            }
            hits = " AND ".join(["1 = 1", *(f"NOT miss_{name}" for name in choices)])
            cursor.execute(f"SELECT count(*), sum(quantity) FROM found WHERE {hits}")
            total, pieces = cursor.fetchone()
            way = "DESC" if descending else "ASC"
            collate = self.collate if sort in {"accession", "country"} else ""
            cursor.execute(
                f"SELECT id FROM found WHERE {hits}"
                f" ORDER BY sort{collate} {way} NULLS LAST, id {way} LIMIT {PAGE}"
            )
            ids = [row[0] for row in cursor.fetchall()]
        return Result(total, ids, counts, int(pieces or 0))

    def _find(
        self, cursor: Any, viewer: int, words: list[str], choices: Mapping[str, Value], sort: str
    ) -> None:
        columns = [f"{source} AS {name}" for name, source in (self.fixed | self.keys).items()]
        columns += [f"{source} AS {name}" for name, source in self.single.items()]
        columns.append(f"{self.sorts[sort]} AS sort")
        values: list[Any] = []
        for name, value in choices.items():
            if name in self.hung:
                hung = self.hung[name]
                key = (self.fixed | self.keys)[hung.key]
                met = (
                    f"EXISTS (SELECT 1 FROM {hung.tables} WHERE {hung.link} = {key}"
                    f" AND {hung.only} AND {hung.value} = %s)"
                )
                if name == "place":
                    met += f" AND {self.fixed['owner_id']} = {viewer}"
            else:
                met = f"COALESCE({self.single[name]} = %s, FALSE)"
            values.append(value)
            columns.append(f"NOT ({met}) AS miss_{name}")
        tests = [self.live, f"({self.visibility} <> 'private' OR {self.fixed['owner_id']} = %s)"]
        values.append(viewer)
        for word in words:
            found = [f"{self.within}({text}, %s) > 0" for text in self.texts]
            own = f"{self.fixed['owner_id']} = {viewer}"
            found.append(f"({own} AND {self.within}({self.own_text}, %s) > 0)")
            tests.append(f"({' OR '.join(found)})")
            values += [word] * len(found)
        cursor.execute("DROP TABLE IF EXISTS found")
        cursor.execute(
            f"CREATE TEMP TABLE found AS SELECT {', '.join(columns)} FROM {self.source}"
            f" WHERE {' AND '.join(tests)}",
            values,
        )

    def _counts(
        self, cursor: Any, name: str, viewer: int, choices: Mapping[str, Value]
    ) -> dict[Value, int]:
        tests = ["1 = 1", *(f"NOT miss_{other}" for other in choices if other != name)]
        if name == "place":
            tests.append(f"owner_id = {viewer}")
        where = " AND ".join(tests)
        counts: dict[Value, int] = {choices[name]: 0} if name in choices else {}
        if name in self.single:
            cursor.execute(f"SELECT {name}, count(*) FROM found WHERE {where} GROUP BY 1")
            return counts | dict(cursor.fetchall())
        hung = self.hung[name]
        cursor.execute("DROP TABLE IF EXISTS few")
        cursor.execute(
            f"CREATE TEMP TABLE few AS SELECT {hung.key} AS at, count(*) AS n"
            f" FROM found WHERE {where} GROUP BY 1"
        )
        cursor.execute(
            f"SELECT value, sum(n) FROM (SELECT DISTINCT few.at, few.n AS n, {hung.value} AS value"
            f" FROM few CROSS JOIN {hung.tables} WHERE {hung.link} = few.at AND {hung.only}) AS u"
            " GROUP BY 1"
        )
        counts |= {value: int(n) for value, n in cursor.fetchall()}
        cursor.execute(
            f"SELECT sum(n) FROM few WHERE NOT EXISTS (SELECT 1 FROM {hung.tables}"
            f" WHERE {hung.link} = few.at AND {hung.only})"
        )
        without = cursor.fetchone()[0]
        return counts | ({None: int(without)} if without else {})


class FlatSql(PlainSql):
    """The same over one flat table derived beforehand."""

    source = "bench_flat g"
    live = "1 = 1"
    texts = ("g.text",)
    own_text = "g.own_text"
    single = {name: f"g.{name}" for name in SINGLE}
    sorts = {name: f"g.sort_{name}" for name in SORTS}
    hung = {name: Hung("id", f"bench_{name} v", "v.at", "v.value") for name in HUNG}
    keys: dict[str, str] = {}
    fixed = {"id": "g.id", "owner_id": "g.owner_id", "quantity": "g.quantity"}
    visibility = "g.visibility"

    def prepare(self, cursor: Any) -> None:
        """Nothing: it stands in the derived tables."""

    def derive(self) -> None:
        """Make the flat table and those of the facets with several values."""
        plain = PlainSql()
        columns = [f"{source} AS {name}" for name, source in plain.fixed.items()]
        columns += ["h.visibility AS visibility", "h.own_text AS own_text"]
        columns += ["COALESCE(t.search_text, '') || ' ' || h.search_text AS text"]
        columns += [f"{source} AS {name}" for name, source in plain.single.items()]
        columns += [f"{source} AS sort_{name}" for name, source in plain.sorts.items()]
        with connection.cursor() as cursor:
            plain.prepare(cursor)
            cursor.execute("DROP TABLE IF EXISTS bench_flat")
            cursor.execute(
                f"CREATE TABLE bench_flat AS SELECT {', '.join(columns)} FROM {JOINED}"
                f" WHERE {plain.live}"
            )
            for name, hung in plain.hung.items():
                key = (plain.fixed | plain.keys)[hung.key]
                cursor.execute(f"DROP TABLE IF EXISTS bench_{name}")
                cursor.execute(
                    f"CREATE TABLE bench_{name} AS SELECT DISTINCT h.id AS at,"
                    f" {hung.value} AS value FROM {H} h CROSS JOIN {hung.tables}"
                    f" WHERE {hung.link} = {key} AND {hung.only} AND {plain.live}"
                )
                cursor.execute(f"CREATE INDEX bench_{name}_at ON bench_{name} (at, value)")
                cursor.execute(f"ANALYZE bench_{name}")

    def forget(self) -> None:
        with connection.cursor() as cursor:
            for name in ("flat", *HUNG):
                cursor.execute(f"DROP TABLE IF EXISTS bench_{name}")
