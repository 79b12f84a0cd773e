"""Django's admin shows and does not write."""

from __future__ import annotations

import pytest
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from shopqc.append_only import SEALED
from tests.factories import SECRET, Floor


@pytest.fixture
def floor(db: None) -> Floor:
    return Floor()


@pytest.fixture
def owner(floor: Floor, client: Client) -> Client:
    client.force_login(floor.person("O1"))
    return client


def test_every_table_of_ours_is_shown_and_none_can_be_written(owner: Client, floor: Floor) -> None:
    housing = floor.housing(until="signed")
    registered = [
        model
        for model in admin.site._registry
        if model._meta.app_label in {"shopqc", "housings", "inspections"}
    ]
    assert len(registered) >= 15
    for model in registered:
        name = f"admin:{model._meta.app_label}_{model._meta.model_name}"
        assert owner.get(reverse(f"{name}_changelist")).status_code == 200, model
        assert owner.get(reverse(f"{name}_add")).status_code == 403, model
        row = model._default_manager.first()
        if row is not None:
            page = reverse(f"{name}_change", args=[row.pk])
            assert owner.get(page).status_code == 200, model
            assert owner.post(page, {}).status_code == 403, model
            assert owner.post(reverse(f"{name}_delete", args=[row.pk]), {"post": "yes"}).status_code == 403, (
                model
            )
    housing.refresh_from_db()
    assert housing.state == "signed_off"


def test_nothing_that_is_sealed_is_left_out() -> None:
    assert set(SEALED) <= set(admin.site._registry)


def test_no_secret_is_shown(owner: Client, floor: Floor) -> None:
    person = floor.person("W1")
    page = owner.get(reverse("admin:shopqc_person_change", args=[person.pk])).content.decode()
    assert person.name in page
    assert person.pin not in page


def test_it_has_no_sign_in_and_no_password_page_of_its_own(client: Client, floor: Floor) -> None:
    assert client.get("/admin/").headers["Location"] == f"{reverse('sign-in')}?next=%2Fadmin%2F"
    typed = {"username": "badge-O1", "password": SECRET, "next": "/admin/"}
    assert client.post("/admin/login/", typed).headers["Location"].startswith(reverse("sign-in"))
    assert "_auth_user_id" not in client.session
    owner = floor.person("O1")
    client.force_login(owner)
    new = {"old_password": SECRET, "new_password1": "another-river-9", "new_password2": "another-river-9"}
    assert client.post("/admin/password_change/", new).headers["Location"] == reverse("people")
    assert floor.person("O1").password == owner.password


def test_a_worker_does_not_get_in(client: Client, floor: Floor) -> None:
    client.force_login(floor.person("W1"))
    assert client.get("/admin/").status_code == 403
