"""A real browser: headless Chromium driven by Playwright, against the site served by a thread.

Without Chromium these tests are skipped with the reason; where ``CI`` is set they fail instead.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from catalogue.models import Member

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # Playwright runs a loop of its own

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
    from playwright.sync_api import sync_playwright

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
        page.set_default_timeout(10_000)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "console",
            lambda line: complaints.append(line.text) if line.type == "error" else None,
        )
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert complaints == []
