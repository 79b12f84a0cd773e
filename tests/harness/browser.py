"""Chromium for the tests: the devices of a shop floor, with and without scripts."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.harness import found

ARGUMENTS = [
    "--no-sandbox",  # the tests may run as root
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

DEVICES: dict[str, dict[str, Any]] = {
    "phone": {"viewport": {"width": 412, "height": 839}, "has_touch": True, "is_mobile": True},
    "tablet": {"viewport": {"width": 712, "height": 1138}, "has_touch": True, "is_mobile": True},
    "desktop": {"viewport": {"width": 1280, "height": 900}},
}


@contextmanager
def chromium_browser() -> Iterator[Browser]:
    """Debian's Chromium under Playwright."""
    path = found.chromium()
    if path is None:
        raise RuntimeError("Chromium is not here; install the package chromium.")
    # Playwright keeps an event loop running in this thread, and Django then refuses to touch
    # the database; nothing here is asynchronous, so there is nothing to protect.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=str(path), args=ARGUMENTS)
            yield browser
            browser.close()
    finally:
        del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


class Faults:
    """What a page complained about on its own: script errors, and what its security policy refused."""

    def __init__(self) -> None:
        self.seen: list[str] = []

    def watch(self, page: Page) -> None:
        page.on("pageerror", lambda error: self.seen.append(f"script error: {error}"))
        page.on("console", self._on_console)

    def _on_console(self, message: Any) -> None:
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.seen.append(f"console: {message.text}")


@contextmanager
def context_of(
    browser: Browser, device: str, faults: Faults, *, scripts: bool = True, **options: Any
) -> Iterator[BrowserContext]:
    """A browser context that shares nothing with others: ``phone``, ``tablet`` or ``desktop``."""
    context = browser.new_context(
        **{**DEVICES[device], "java_script_enabled": scripts, "locale": "en-US", **options}
    )
    context.set_default_timeout(15_000)
    context.on("page", faults.watch)
    try:
        yield context
    finally:
        context.close()
