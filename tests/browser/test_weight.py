"""What a station page costs a phone with patchy Wi-Fi that has never been here."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.hands import PHONE, become_device, check_page, sign_in_with_pin
from tests.factories import Floor

pytestmark = pytest.mark.django_db(transaction=True)

# The project's own bounds.
MOST_BYTES = 100_000
MOST_REQUESTS = 8


class Meter:
    """Requests and bytes over the wire, as the browser itself counts them."""

    def __init__(self, page: Any) -> None:
        self.requests: list[str] = []
        self.bytes = 0
        wire = page.context.new_cdp_session(page)
        wire.send("Network.enable")
        wire.send("Network.setCacheDisabled", {"cacheDisabled": True})
        wire.on("Network.requestWillBeSent", self._on_request)
        wire.on("Network.loadingFinished", self._on_finished)

    def _on_request(self, event: dict[str, Any]) -> None:
        address = event["request"]["url"]
        if not address.startswith("data:"):
            self.requests.append(address)

    def _on_finished(self, event: dict[str, Any]) -> None:
        self.bytes += int(event["encodedDataLength"])


# The style of drawings; with a figure the scripts that keep a draft, judge, paste and draw the dial besides.
OF_A_DRAWING, OF_A_FIGURE = 1, 6


@pytest.mark.parametrize(
    ("place", "further"),
    [
        ("/h/{serial}/", OF_A_DRAWING),
        ("/h/{serial}/readings/", 0),
        ("/h/{serial}/readings/tube_runout_left/", OF_A_FIGURE),
    ],
)
def test_the_first_visit_to_a_station_is_light(
    floor: Floor, site: Any, open_page: Callable[..., Any], place: str, further: int
) -> None:
    page = open_page("phone", **PHONE)
    housing = floor.housing(until="truss")
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    meter = Meter(page)
    page.goto(site.url + place.format(serial=housing.serial), wait_until="networkidle")
    check_page(page)
    assert len(meter.requests) <= MOST_REQUESTS + further, meter.requests
    assert 5_000 < meter.bytes <= MOST_BYTES
