"""Records every test may ask for: members of each role, a small coinage, holdings.

``coinage`` is invented: one country, one currency, one series, a type with three issues.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.test import Client
from hypothesis import settings as hypothesis_settings
from whitenoise.middleware import WhiteNoiseMiddleware

from catalogue.holdings import up_to_date
from catalogue.holdings.finding import type_index
from catalogue.holdings.search import index
from catalogue.identifying import tables
from catalogue.models import Holding, Member
from series.models import (
    CoinType,
    Currency,
    CurrencyUnit,
    Denomination,
    Face,
    Issue,
    Issuer,
    Series,
)
from tests.chromium import chromium, page_of
from tests.served import with_tables
from tests.shipped import shipped

__all__ = ["chromium", "page_of", "shipped", "with_tables"]

# A busy machine must not fail a test of arithmetic.
hypothesis_settings.register_profile("no deadline", deadline=None)
hypothesis_settings.load_profile("no deadline")


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int | None:
    """The whole suite takes a process for each core; a few tests that are named take none."""
    return 0 if config.option.file_or_dir else None


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[Any]) -> None:
    """What needs a browser or the shipped types is marked so, before ``-m`` chooses by marks."""
    for item in items:
        if "chromium" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)
        if "shipped" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.django_db)


@pytest.fixture(scope="session", autouse=True)
def static_files_listed_once() -> Iterator[None]:
    """Each test client makes the middleware anew, which would list all static files each time."""
    found: dict[str, Any] = {}
    look = WhiteNoiseMiddleware.add_files_from_finders

    def add_files(self: WhiteNoiseMiddleware) -> None:
        if not found:
            look(self)
            found.update(self.files)
        self.files.update(found)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(WhiteNoiseMiddleware, "add_files_from_finders", add_files)
        yield


@pytest.fixture(autouse=True)
def own_media(settings: Any, tmp_path: Any) -> None:
    """What a test stores goes into its own folder; passwords are hashed quickly."""
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.KEPT_DIR = tmp_path / "kept"
    settings.BACKUPS_DIR = tmp_path / "backups"
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def own_columns(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The columns of an earlier test are forgotten.

    The transaction around a test counts as none, unless the test makes its own.
    """
    marker = request.node.get_closest_marker("django_db")
    if marker is None or not marker.kwargs.get("transaction"):
        monkeypatch.setattr(up_to_date, "may_be_undone", lambda: False)
    index.forget()
    type_index.forget()
    tables.forget()


@pytest.fixture
def make_member(db: None) -> Callable[..., Member]:
    def make(username: str, role: str = "member", **fields: Any) -> Member:
        return Member.objects.create_user(
            username, "a good long password", role=role, name=username.title(), **fields
        )

    return make


@pytest.fixture
def member(make_member: Callable[..., Member]) -> Member:
    return make_member("ana")


@pytest.fixture
def other(make_member: Callable[..., Member]) -> Member:
    return make_member("bo")


@pytest.fixture
def curator(make_member: Callable[..., Member]) -> Member:
    return make_member("cura", role="curator")


@pytest.fixture
def administrator(make_member: Callable[..., Member]) -> Member:
    return make_member("adam", role="administrator")


@pytest.fixture
def as_member(client: Client, member: Member) -> Client:
    """A browser in which ``member`` is signed in."""
    client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    return client


@dataclass
class Coinage:
    issuer: Issuer
    currency: Currency
    denomination: Denomination
    series: Series
    type: CoinType
    issues: list[Issue]


@pytest.fixture
def coinage(db: None) -> Coinage:
    return make_coinage()


def make_coinage() -> Coinage:
    issuer = Issuer.objects.create(key="testland", name="Testland")
    currency = Currency.objects.create(key="testland-marl", name="marl", first_year=1919)
    currency.issuers.add(issuer)
    CurrencyUnit.objects.create(currency=currency, name="tinne", per_main="100")
    denomination = Denomination.objects.create(
        key="testland-25-tinne",
        currency=currency,
        name="25 tinne",
        value_numerator=1,
        value_denominator=4,
    )
    series = Series.objects.create(
        key="testland-first",
        issuer=issuer,
        currency=currency,
        name="First",
        first_year=1931,
        last_year=1959,
    )
    coin_type = CoinType.objects.create(
        key="testland-first-25",
        series=series,
        denomination=denomination,
        composition="Cu75Ni25",
        metal="copper-nickel",
        diameter_mm="23.5",
        thickness_mm="1.6",
        mass_g="5.4",
        first_year=1931,
        last_year=1953,
    )
    for side in ("obverse", "reverse"):
        Face.objects.create(coin_type=coin_type, side=side)
    issues = [
        Issue.objects.create(
            coin_type=coin_type, key=str(y), shown=str(y), struck_from=y, struck_to=y, position=i
        )
        for i, y in enumerate((1931, 1947, 1953))
    ]
    return Coinage(issuer, currency, denomination, series, coin_type, issues)


@pytest.fixture
def make_holding(coinage: Coinage, member: Member) -> Callable[..., Holding]:
    count = 0

    def make(**fields: Any) -> Holding:
        nonlocal count
        count += 1
        fields.setdefault("owner", member)
        fields.setdefault("coin_type", coinage.type)
        fields.setdefault("accession", f"T.{count:03}")
        return Holding.objects.create(**fields)

    return make


def pytest_sessionfinish(session: pytest.Session) -> None:
    """In CI nothing may be skipped: a check that did not run is a check that failed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if os.environ.get("CI") == "true" and reporter and reporter.stats.get("skipped"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: Any) -> None:
    if os.environ.get("CI") == "true":
        for report in terminalreporter.stats.get("skipped", []):
            terminalreporter.write_line(f"skipped in CI: {report.nodeid} {report.longrepr}")
