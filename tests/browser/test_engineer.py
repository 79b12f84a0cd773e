"""The engineer: a major nonconformance, accepted with the customer's concession on file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from inspections.models import Disposition
from tests.browser.hands import press, sign_in_at_desk, text_of
from tests.factories import Floor

pytestmark = pytest.mark.django_db(transaction=True)

CONCESSION = b"%PDF-1.4\n% a customer's concession, invented\n"


def test_a_major_one_is_accepted_with_the_customers_concession(
    floor: Floor, site: Any, desktop: Any, tmp_path: Path
) -> None:
    housing = floor.housing(until="face_and_drill")
    floor.work(housing, "face_and_drill")
    bore = floor.characteristic(housing, "pilot_bore")
    floor.record(housing, floor.reading(housing, bore, "face_and_drill", raw={"value": "7.2561"}), by="W1")

    sign_in_at_desk(desktop, site.url, "badge-E1", f"/nonconformances/{housing.serial}/1/")
    assert "major" in text_of(desktop)
    desktop.check("#decision_use_as_is")
    desktop.fill("[name=reason]", "The gear sits deeper by 0.001 in.")
    press(desktop, "Record the decision")
    assert "concession" in text_of(desktop, ".error-summary")
    assert not Disposition.objects.exists()

    upload = desktop.locator("[name=document]")
    if not upload.is_visible():
        desktop.get_by_text("File the customer's concession", exact=True).click()
    wrong = tmp_path / "drawing.svg"
    wrong.write_text("<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>")
    upload.set_input_files(wrong)
    press(desktop, "File it")
    assert desktop.locator("#id_document_error").is_visible()
    right = tmp_path / "concession.pdf"
    right.write_bytes(CONCESSION)
    desktop.locator("[name=document]").set_input_files(right)
    press(desktop, "File it")
    assert "The concession is filed" in text_of(desktop)
    desktop.check("#decision_use_as_is")
    desktop.fill("[name=reason]", "The gear sits deeper by 0.001 in.")
    press(desktop, "Record the decision")
    decided = Disposition.objects.get()
    assert (decided.by_stamp, decided.kind) == ("E1", "use_as_is")
    assert "Registered engineer 20417 (invented)" in text_of(desktop)
    with desktop.expect_download() as download:
        desktop.get_by_role("link", name="The customer's concession").click()
    kept = tmp_path / "kept.pdf"
    download.value.save_as(kept)
    assert kept.read_bytes() == CONCESSION
