"""The small scripts, in a browser, without a server."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from shopqc import paper

STATIC = paper.FONTS.parent


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Page]:
    made = browser.new_page()
    yield made
    made.close()


def show(page: Page, body: str, script: str) -> None:
    page.goto("about:blank")  # a new document: listeners of the test before are gone
    page.set_content(f"<!doctype html><title>t</title><body>{body}")
    # A module runs some time after it was put in; it says so itself at its end.
    content = (STATIC / script).read_text() + "\ndocument.documentElement.dataset.ran = 'yes';"
    page.add_script_tag(content=content, type="module")
    page.locator("html[data-ran]").wait_for(state="attached")


def test_a_second_tap_sends_nothing(page: Page) -> None:
    show(page, "<form method=post action=/x><button class=do>Leave</button></form>", "submit_once.js")
    sent = page.evaluate(
        """() => {
            let sent = 0;
            document.addEventListener("submit", (event) => {
                if (!event.defaultPrevented) sent += 1;
                event.preventDefault();
            });
            const button = document.querySelector("button");
            button.click();
            const words = button.textContent;
            button.click();
            return [sent, words, button.getAttribute("aria-busy"), button.disabled];
        }"""
    )
    assert sent == [1, "Leave …", "true", False]


def test_enter_moves_on_to_the_next_empty_field(page: Page) -> None:
    fields = "".join(
        f"<input name={name} value='{value}'>" for name, value in [("a", ""), ("b", "7"), ("c", "")]
    )
    show(page, f"<form data-enter-moves-on method=get>{fields}<button>Record</button></form>", "bench.js")
    page.focus("[name=a]")
    page.keyboard.type("1.5")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.name") == "c"


def test_what_is_scanned_anywhere_lands_in_the_scan_field(page: Page) -> None:
    show(page, "<input data-scan name=serial><input name=other>", "bench.js")
    page.keyboard.type("KR000123H7")
    assert page.input_value("[name=serial]") == "KR000123H7"
    page.focus("[name=other]")
    page.keyboard.type("5")
    assert page.input_value("[name=other]") == "5"
    assert page.input_value("[name=serial]") == "KR000123H7"
