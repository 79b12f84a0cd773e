"""A link makes the browser that opens it a registered device."""

import pytest
from django.test import Client
from django.urls import reverse

from shopqc.models import Person
from shopqc.operations.shop import revoke_device
from tests.factories import PIN, Floor


@pytest.fixture
def floor(db: None) -> Floor:
    return Floor()


def test_a_pin_works_after_the_link_was_opened(floor: Floor, client: Client) -> None:
    token, _device = floor.device()
    address = reverse("become-device", args=[token])
    assert client.get(address).status_code == 200
    assert "device" not in client.cookies, "looking at the link is not yet becoming the device"
    answer = client.post(address)
    assert answer.headers["Location"] == reverse("sign-in")
    assert client.cookies["device"]["httponly"]
    client.post(reverse("sign-in"), {"badge": "badge-W1", "pin": PIN})
    assert client.session["_auth_user_id"] == str(Person.objects.get(stamp="W1").pk)


def test_the_link_of_a_revoked_or_unknown_device_opens_nothing(floor: Floor, client: Client) -> None:
    token, device = floor.device()
    floor.do(revoke_device, device=device.pk)
    for known in (token, "x" * 43):
        answer = client.post(reverse("become-device", args=[known]))
        assert answer.status_code == 404
        assert "device" not in answer.cookies
