"""A real browser: headless Chromium driven by Playwright, against the site served by a thread.

Without Chromium these tests are skipped with the reason; where ``CI`` is set they fail instead.
The fixtures are known to every test (see conftest.py), which marks what uses them ``browser``.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from catalogue.models import Member

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    if CHROMIUM is None:
        if os.environ.get("CI"):
            pytest.fail("Chromium is missing, and nothing may be skipped here")
        pytest.skip("Chromium is not installed")
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=30_000)

    # Playwright runs a loop of its own in this thread, where Django would refuse its queries.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def page_of(chromium: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    """Open a page in which a member is signed in; errors of scripts fail the test."""
    from django.conf import settings
    from django.test import Client

    contexts = []
    complaints: list[str] = []

    def open_page(member: Member | None, **options: Any) -> Any:
        context = chromium.new_context(base_url=live_server.url, **options)
        contexts.append(context)
        if member is not None:
            client = Client()
            client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
            cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
            context.add_cookies(
                [
                    {
                        "name": settings.SESSION_COOKIE_NAME,
                        "value": cookie,
                        "url": live_server.url,
                    }
                ]
            )
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("pageerror", lambda error: complaints.append(str(error)))

        def listen(line: Any) -> None:
            # That the page itself is refused or not there is for its test to judge.
            if line.type == "error" and line.location.get("url") != page.url:
                complaints.append(line.text)

        page.on("console", listen)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert complaints == []
