"""From an empty machine to a club of two, on a phone, through the server as it is really run.

The first administrator comes in by the printed link, begins a country, enters a coin and invites
a member, who joins; the member's password is reset by a link handed over and, once mail is set up,
by one that is mailed. Every page on the way has to fit a phone, and none may be refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.mail_sink import mail_sink
from tests.served import PATIENCE, Served, manage

PHONE = {"width": 390, "height": 800}
PASSWORDS = ["nine gulls on a roof", "ten nets in the sun", "two lamps at the quay"]


@pytest.fixture
def var(tmp_path: Path, with_tables: Callable[[Path], Path]) -> Path:
    return with_tables(tmp_path)


@pytest.fixture
def phone(chromium: Any) -> Iterator[Callable[[], Any]]:
    """Open a page in a browser of its own; what was refused or did not fit fails the test."""
    contexts = []
    faults: list[str] = []

    def look(page: Any) -> None:
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > PHONE["width"]:
            faults.append(f"{page.url} is {wide} px wide")

    def note(answer: Any) -> None:
        if answer.status >= 400:
            faults.append(f"{answer.status} {answer.request.method} {answer.url}")

    def open_page() -> Any:
        context = chromium.new_context(viewport=PHONE)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(PATIENCE * 1000)
        page.on("response", note)
        page.on("load", look)
        page.on("pageerror", lambda error: faults.append(str(error)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert faults == []


@pytest.fixture
def serve(var: Path) -> Iterator[Callable[..., Served]]:
    """Start the server; one that runs already is stopped first."""
    running: list[Served] = []

    def start(**environment: str) -> Served:
        for earlier in running:
            assert earlier.stop() == 0
        running[:] = [Served(var, **environment)]
        running[0].wait_for("served at")
        return running[0]

    yield start
    for server in running:
        server.end()


def press(page: Any, name: str) -> None:
    with page.expect_navigation():
        page.locator("main").get_by_role("button", name=name, exact=True).click()


def follow(page: Any, name: str) -> None:
    with page.expect_navigation():
        page.get_by_role("link", name=name, exact=True).first.click()


def said(page: Any, words: str) -> None:
    expect(page.get_by_role("status").first).to_contain_text(words)


def link_in(text: str, server: Served) -> str:
    found = re.search(rf"http://127\.0\.0\.1:{server.port}/link/[\w-]{{43}}/", text)
    assert found, text
    return found[0]


def set_password(page: Any, link: str, password: str) -> None:
    page.goto(link)
    page.get_by_label("New password", exact=True).fill(password)
    page.get_by_label("New password confirmation").fill(password)
    press(page, "Set the password")
    said(page, "Your new password is set.")


def test_from_an_empty_machine_to_a_club_of_two(
    var: Path, serve: Callable[..., Served], phone: Callable[[], Any]
) -> None:
    server = serve()
    ada, bo = phone(), phone()
    printed = manage(var, "first_administrator", "ada").stdout
    set_password(ada, link_in(printed, server), PASSWORDS[0])
    begin_a_country(ada, server)
    enter_a_coin(ada, server)
    join(bo, invitation(ada, server))
    set_password(bo, handed_reset(ada, server), PASSWORDS[1])
    refuse_without_mail(bo, server)
    with mail_sink() as sink:
        server = serve(EXERGUE_MAIL=sink.address)
        ask_for_a_mail(phone(), server)
        set_password(phone(), link_in(sink.text(PATIENCE), server), PASSWORDS[2])
    sign_in(phone(), server)


def address(server: Served, path: str) -> str:
    return f"http://127.0.0.1:{server.port}{path}"


def begin_a_country(page: Any, server: Served) -> None:
    page.goto(address(server, "/countries/"))
    follow(page, "Add a country")
    page.get_by_label("Country", exact=True).fill("Skarvø")
    page.get_by_label("Main unit of its money").fill("dal")
    page.get_by_label("Denominations").fill("5 dal")
    press(page, "Make it, and go on to the first coin")
    expect(page.get_by_label("Country", exact=True)).to_have_value("Skarvø")
    page.get_by_label("Value", exact=True).fill("5 dal")
    page.get_by_label("Dates", exact=True).fill("1921-24")
    press(page, "Save the type")
    expect(page.get_by_role("heading", level=1)).to_contain_text("5 dal")


def enter_a_coin(page: Any, server: Served) -> None:
    page.goto(address(server, "/holdings/quick/"))
    page.locator("#id_type_text").focus()
    page.keyboard.type("skarv 5")
    page.locator("#type-options [role=option]").nth(0).wait_for()
    page.keyboard.press("Enter")
    page.keyboard.type("1922")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    expect(page.locator("main")).to_contain_text("5 dal, 1922")


def invitation(page: Any, server: Served) -> str:
    page.goto(address(server, "/club/"))
    follow(page, "Invite someone")
    press(page, "Make the invitation")
    return link_in(page.get_by_label("The link, shown this once").input_value(), server)


def join(page: Any, link: str) -> None:
    page.goto(link)
    page.get_by_label("Sign-in name").fill("bo")
    page.get_by_label("Name", exact=True).fill("Bo")
    page.get_by_label("E-mail").fill("bo@example.org")
    page.get_by_label("Password", exact=True).fill(PASSWORDS[0])
    page.get_by_label("Password confirmation").fill(PASSWORDS[0])
    press(page, "Join")
    said(page, "Welcome")


def handed_reset(page: Any, server: Served) -> str:
    page.goto(address(server, "/club/"))
    follow(page, "Bo")
    press(page, "Make a link to a new password")
    return link_in(page.get_by_label("The link, shown this once").input_value(), server)


def refuse_without_mail(page: Any, server: Served) -> None:
    page.goto(address(server, "/forgot/"))
    expect(page.locator("main")).to_contain_text("This site sends no mail")


def ask_for_a_mail(page: Any, server: Served) -> None:
    page.goto(address(server, "/sign-in/"))
    follow(page, "Password forgotten?")
    page.get_by_label("Your e-mail address").fill("bo@example.org")
    press(page, "Send the link")
    said(page, "a mail with a link is on its way")


def sign_in(page: Any, server: Served) -> None:
    page.goto(address(server, "/"))
    page.get_by_label("Sign-in name").fill("bo")
    page.get_by_label("Password").fill(PASSWORDS[2])
    press(page, "Sign in")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Bo")
