"""A route with every station of the catalogue, walked from the first to the last on the housing's page."""

from __future__ import annotations

from housings import queries
from housings.engineering.route_rules import long_route
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit, WorkDone
from housings.operations.routes import publish_route
from housings.operations.suppliers import back_from_supplier, send_to_supplier
from shopqc import files, ledger
from tests.factories import LINKS_SPEC, Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor

DESCRIBED = {
    "straighten": {"method": "press", "side": "right", "place": "16", "direction": "6", "how_far": "0.05"},
    "stress_relief": {"held_temperature": "1150", "held_hours": "1"},
    "armor": {"plate_off_below": "140"},
}


def open_page(visitor: Visitor, housing: Housing) -> None:
    assert visitor.get(f"/h/{housing.serial}/").status_code == 200


def press(visitor: Visitor, housing: Housing, do: str, **typed: str) -> None:
    open_page(visitor, housing)
    assert visitor.press("do", do, **typed).status_code == 302, visitor.page.text
    visitor.follow()


def test_every_station_of_the_catalogue_is_walked_on_pages(floor: Floor, signed_in: SignedIn) -> None:
    floor.do(publish_route, name="standard", stations=[{"station": code} for code in long_route(True)])
    (housing,) = floor.order(spec=LINKS_SPEC)
    worker = signed_in("W1")
    while (visit := floor.next_visit(housing)) is not None:
        press(worker, housing, "arrive")
        if visit.station == "coat":
            # Coated at a supplier: sent and back, with the certificate of conformity.
            floor.do(
                send_to_supplier, by="W1", housing=housing.serial, station="coat", supplier="Quarry Powder"
            )
            paper = files.store(b"%PDF-1.4\n% certificate of conformity, invented\n")
            floor.do(back_from_supplier, by="W1", housing=housing.serial, condition="Even.", conformity=paper)
        open_page(worker, housing)
        if worker.page.form_with("do", "work_done") and visit.station != "coat":
            press(worker, housing, "work_done", **DESCRIBED.get(visit.station, {}))
        floor.measure_due(housing, visit.station)
        press(worker, housing, "leave")
    floor.sign(housing)
    press(worker, housing, "arrive")
    press(worker, housing, "leave")
    states = dict(Visit.objects.filter(housing=housing).values_list("station", "state"))
    assert states == dict.fromkeys(STATIONS, "left")
    assert queries.next_visits(queries.visits_of(housing)) == []
    described = {work.station: work.details for work in WorkDone.objects.filter(housing=housing)}
    assert {code for code, details in described.items() if details} == set(DESCRIBED)
    assert ledger.verify().faults == ()
