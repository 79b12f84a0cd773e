"""On a host of its own the public address shows certificates and nothing else."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Certificate
from tests.factories import Floor


@pytest.fixture
def client_of_two_hosts(settings: Any) -> Client:
    settings.FLOOR_URL, settings.PUBLIC_URL = "http://floor.example", "http://proof.example"
    settings.ALLOWED_HOSTS = ["floor.example", "proof.example"]
    return Client()


def test_the_public_host_knows_certificates_alone(db: None, client_of_two_hosts: Client) -> None:
    floor = Floor()
    housing = floor.housing(until="signed")
    certificate = f"/c/{Certificate.objects.get().code}/"
    for host, path, status in (
        ("proof.example", certificate, 200),
        ("proof.example", reverse("sign-in"), 404),
        ("proof.example", reverse("housing", args=[housing.serial]), 404),
        ("proof.example", "/api/v1/orders", 404),
        ("floor.example", certificate, 200),
        ("floor.example", reverse("sign-in"), 200),
    ):
        answer = client_of_two_hosts.get(path, headers={"host": host})
        assert answer.status_code == status, (host, path)
