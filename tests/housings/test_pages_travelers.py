"""Many travelers at the desk: a few at once, more by the worker."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from housings import paper_jobs
from housings.models import PaperJob
from shopqc import paper
from tests.factories import Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paper, "DENSITIES", ("packed",))


def test_a_few_come_at_once_each_on_a_sheet_of_its_own(floor: Floor, signed_in: SignedIn) -> None:
    housings = floor.order(quantity=2)
    owner = signed_in("O1")
    owner.get(f"/orders/{housings[0].order.number}/")
    link = next(link for link in owner.page.links if link.startswith("/travelers.pdf"))
    response = owner.get(link)
    assert response["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(response.content)).pages
    assert [("Traveler" in page.extract_text()) for page in pages] == [True, False, True]
    for page, housing in zip((pages[0], pages[2]), housings, strict=True):
        assert housing.serial_grouped in " ".join(page.extract_text().split())


def test_more_are_made_by_the_worker(floor: Floor, signed_in: SignedIn) -> None:
    housings = floor.order(quantity=paper_jobs.IN_THE_REQUEST + 1)
    worker = signed_in("W1")
    worker.get("/travelers.pdf?" + "&".join(f"serial={one.serial}" for one in housings))
    assert "7 travelers take a minute or two" in worker.page.text
    serials = [one.serial for one in housings]
    form = {"serial": serials, "sheets": "1", "sent_key": "k1"}
    first = worker.post("/travelers/", form)
    assert worker.post("/travelers/", form)["Location"] == first["Location"]
    job = PaperJob.objects.get()
    assert job.asked["serials"] == serials and job.asked["sheets"]
    worker.get(first["Location"])
    assert "0 of 7 travelers are drawn" in worker.page.text
    assert worker.get(f"/travelers/{job.pk}.pdf").status_code == 404
    PaperJob.objects.update(state=PaperJob.ASIDE, last_error="Disk full.")
    worker.get(first["Location"])
    assert "could not be made" in worker.page.text and "Disk full." in worker.page.text


@pytest.mark.parametrize(
    ("query", "status", "says"),
    [
        ("", 422, "This is needed."),
        ("serial=AX999999", 422, "is no serial of ours"),
        ("serial=AX000777SZ", 404, ""),
        ("&".join(f"serial={n}" for n in range(51)), 422, "At most 50 travelers"),
    ],
)
def test_what_cannot_be_printed_is_refused(
    floor: Floor, signed_in: SignedIn, query: str, status: int, says: str
) -> None:
    from housings.engineering import serials

    worker = signed_in("W1")
    query = query.replace("AX000777SZ", serials.serial_from("AX", 777))
    assert worker.get(f"/travelers.pdf?{query}").status_code == status
    assert says in worker.page.text
    assert worker.get("/travelers/99999999999999999999/").status_code == 404
    assert worker.get("/paper-pack/1.pdf").status_code == 404


def test_those_ticked_on_the_list_are_printed(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing()
    worker = signed_in("W1")
    body = worker.get("/housings/").content.decode()
    assert 'action="/travelers.pdf"' in body and f'name="serial" value="{housing.serial}"' in body
    assert "/paper-pack/" in worker.page.links


def test_strangers_see_a_sign_in(floor: Floor) -> None:
    for url in ("/travelers.pdf?serial=x", "/travelers/1/", "/paper-pack/", "/paper-pack/1.pdf"):
        assert Visitor().get(url).status_code == 302, url
