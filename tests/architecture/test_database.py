"""Models, migrations and seals agree."""

from io import StringIO

import pytest
from django.apps import apps
from django.core.management import call_command

from shopqc import append_only

OURS = ("shopqc", "housings", "inspections")


@pytest.mark.django_db
def test_no_migration_is_missing():
    said = StringIO()
    call_command("makemigrations", check=True, dry_run=True, stdout=said)
    assert "No changes detected" in said.getvalue()


def test_what_must_never_change_is_sealed():
    """Readings, looks at work, sign-offs, certificates and their events, nonconformances, the record book."""
    for name in (
        "shopqc.LedgerEntry",
        "housings.WorkDone",
        "inspections.Reading",
        "inspections.Nonconformance",
        "inspections.Disposition",
        "inspections.SignOff",
        "inspections.Certificate",
        "inspections.CertificateEvent",
    ):
        assert apps.get_model(name) in append_only.SEALED, name


def test_every_reference_to_a_fact_is_protected():
    """Deleting a person or an order must not take facts with it."""
    cascading = [
        f"{model._meta.label}.{field.name}"
        for label in OURS
        for model in apps.get_app_config(label).get_models()
        for field in model._meta.get_fields()
        if getattr(field, "many_to_one", False) and field.remote_field.on_delete.__name__ == "CASCADE"
    ]
    assert cascading == []
