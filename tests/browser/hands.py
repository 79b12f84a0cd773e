"""What hands do at a page, and what every page they come to must be."""

from __future__ import annotations

from typing import Any

from tests.factories import PIN, SECRET, Floor

PHONE = {"viewport": {"width": 360, "height": 740}}
MAIN_ACTION = 60  # px; the design's own figure for the one main action at the bench
WIDER = "document.documentElement.scrollWidth - innerWidth"
OVERLAPS = """() => {
    const seen = e => e.checkVisibility() && !e.closest('.visually-hidden');
    const actions = [...document.querySelectorAll('.at-thumb .do')].filter(seen);
    return actions.map(e => e.getBoundingClientRect()).map(r => [r.height, r.left, innerWidth - r.right]);
}"""


def check_page(page: Any) -> None:
    """A page is named, has one heading, needs no scrolling sideways, and its main action fits a glove."""
    page.wait_for_load_state()
    assert page.title().strip(" ·"), page.url
    assert page.locator("h1").count() == 1, page.url
    assert page.evaluate(WIDER) <= 0, f"{page.url} is wider than the screen"
    for height, left, right in page.evaluate(OVERLAPS):
        assert height >= MAIN_ACTION and left >= 0 and right >= 0, page.url


def go(page: Any, address: str) -> None:
    """Open a page and look at it."""
    page.goto(address)
    check_page(page)


def press(page: Any, words: str, within: str = "main") -> None:
    """Press the button of these words and look at the page that comes."""
    pressed = page.locator(within).get_by_role("button", name=words, exact=True)
    with page.expect_navigation():
        pressed.click()
    check_page(page)


def follow(page: Any, words: str, within: str = "main") -> None:
    """Follow the link of these words and look at the page that comes."""
    with page.expect_navigation():
        page.locator(within).get_by_role("link", name=words, exact=True).click()
    check_page(page)


def become_device(floor: Floor, page: Any, url: str) -> None:
    """Make this browser a registered device by its link."""
    token, _device = floor.device()
    go(page, f"{url}/device/{token}/")
    page.locator("main .do").click()
    page.wait_for_url("**/sign-in/")


def sign_in_with_pin(page: Any, url: str, badge: str, pin: str = PIN) -> None:
    """Badge and PIN at a registered device."""
    go(page, f"{url}/sign-in/")
    page.fill("[name=badge]", badge)
    page.fill("[name=pin]", pin)
    press(page, "Sign in")


def sign_in_at_desk(page: Any, url: str, badge: str, then: str = "/") -> None:
    """Badge and password, and on to a page."""
    go(page, f"{url}/sign-in/?next={then}")
    page.fill("[name=badge]", badge)
    page.fill("[name=password]", SECRET)
    press(page, "Sign in")


def sign_out(page: Any) -> None:
    """Hand the device over."""
    press(page, "Sign out", within=".who")
    assert page.url.endswith("/sign-in/")


def text_of(page: Any, selector: str = "main") -> str:
    """The words of a page, on one line."""
    return " ".join(page.locator(selector).inner_text().split())
