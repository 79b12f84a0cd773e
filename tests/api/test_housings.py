"""A housing on its way, over the API."""

from __future__ import annotations

import io
from typing import Any

from pypdf import PdfReader

from housings.engineering import serials
from housings.operations.visits import arrive, leave_station
from inspections.operations.nonconformances import raise_nonconformance
from tests.api.caller import Caller, done, pointers, refused, unlike
from tests.factories import Floor


def test_it_shows_a_housing_whole(floor: Floor, desk: Caller) -> None:
    housing = floor.housing(until="truss")
    shown = done(desk.get(f"/housings/{housing.serial}"))
    assert (shown["serial"], shown["state"], shown["station"]) == (housing.serial, "in_work", "truss")
    assert shown["spec"]["tube_od"] == "3.5"
    assert shown["record_position"] == housing.record_position
    jig = shown["visits"][0]
    assert (jig["station"], jig["state"], jig["arrived_by"], jig["left_by"]) == ("jig", "left", "W1", "W1")
    assert jig["left_at"] == "2026-05-04T09:30:00.000000Z"
    assert shown["due"] and {entry["stands"] for entry in shown["due"]} == {"not_measured"}
    assert all({"code", "name", "kind", "unit", "lower", "upper"} <= set(entry) for entry in shown["due"])
    assert len(shown["characteristics"]) == housing.characteristics.count()


def test_it_says_beforehand_what_the_gate_would_say(floor: Floor, phone: Caller) -> None:
    housing = floor.housing(until="truss")
    said = done(phone.get(f"/housings/{housing.serial}"))["in_the_way"]
    problem = refused(
        phone.post(f"/housings/{housing.serial}/leave", {"station": "truss"}), 409, "not_measured"
    )
    assert [reason["code"] for reason in said["leave"]] == [error["code"] for error in problem["errors"]]
    assert [reason["sentence"] for reason in said["leave"]] == [
        error["detail"] for error in problem["errors"]
    ]
    (station, against_start), *_ = said["start"].items()
    problem = refused(phone.post(f"/housings/{housing.serial}/arrive", {"station": station}), 409)
    assert [reason["code"] for reason in against_start] == [error["code"] for error in problem["errors"]]
    assert "visits_ahead" in {reason["code"] for reason in said["sign_off"]}


def test_it_says_that_whoever_worked_may_not_sign(floor: Floor, phone: Caller, desk: Caller) -> None:
    housing = floor.housing(until="measured")
    by_worker = done(phone.get(f"/housings/{housing.serial}"))["in_the_way"]["sign_off"]
    by_lead = done(desk.get(f"/housings/{housing.serial}"))["in_the_way"]["sign_off"]
    assert [reason["code"] for reason in by_worker] == ["signer_not_independent"]
    assert by_lead == []


def test_it_walks_through_a_station(floor: Floor, phone: Caller) -> None:
    (housing,) = floor.order()
    path = f"/housings/{housing.serial}"
    assert done(phone.post(f"{path}/arrive", {"station": "jig"}))["visit"] == 1
    body = {"station": "jig", "note": "clamped", "done_at": "2026-05-04T11:00:00+02:00"}
    done(phone.post(f"{path}/work-done", body))
    floor.measure_due(housing, "jig")
    assert done(phone.post(f"{path}/leave", {"station": "jig"}))["next"] == ["tack"]
    entry = housing.work_done.get()
    assert (entry.note, entry.done_at.isoformat()) == ("clamped", "2026-05-04T09:00:00+00:00")


def test_the_same_step_again_is_taken_once(floor: Floor, phone: Caller) -> None:
    (housing,) = floor.order()
    path = f"/housings/{housing.serial}/arrive"
    first = phone.post(path, {"station": "jig"}, name="tap-1")
    again = phone.post(path, {"station": "jig"}, name="tap-1")
    assert (first.status_code, first.content) == (again.status_code, again.content)
    refused(phone.post(path, {"station": "jig"}, name="tap-2"), 409, "is_here_already")


def test_no_station_is_skipped(floor: Floor, phone: Caller, nothing_changes: Any) -> None:
    (housing,) = floor.order()
    with nothing_changes():
        refused(phone.post(f"/housings/{housing.serial}/arrive", {"station": "armor"}), 409, "not_next")
        refused(phone.post(f"/housings/{housing.serial}/leave", {"station": "jig"}), 409, "not_here")
        problem = refused(
            phone.post(f"/housings/{housing.serial}/arrive", {"station": "paint"}), 422, "station_unknown"
        )
    assert pointers(problem) == {"/station"}


def test_a_hold_keeps_it_until_the_qc_lead_releases_it(floor: Floor, phone: Caller, desk: Caller) -> None:
    (housing,) = floor.order()
    path = f"/housings/{housing.serial}"
    hold = done(phone.post(f"{path}/hold", {"why": "wrong heat number"}), 201)["hold"]
    refused(phone.post(f"{path}/arrive", {"station": "jig"}), 409, "held")
    shown = done(phone.get(path))
    assert shown["holds"][0]["why"] == "wrong heat number"
    assert done(phone.get("/housings"))["housings"][0]["held"] is True
    refused(phone.post(f"{path}/release", {"hold": hold, "why": "looked"}), 403, "not_allowed")
    problem = refused(desk.post(f"{path}/release", {"hold": hold, "why": " "}), 422, "reason_needed")
    assert pointers(problem) == {"/why"}
    done(desk.post(f"{path}/release", {"hold": hold, "why": "the number was copied wrong"}))
    refused(desk.post(f"{path}/release", {"hold": hold, "why": "twice"}), 404, "not_found")
    done(phone.post(f"{path}/arrive", {"station": "jig"}))


def test_work_done_twice_by_two_people_is_asked_about(floor: Floor, phone: Caller) -> None:
    housing = floor.housing(until="tack")
    path = f"/housings/{housing.serial}/work-done"
    seen = housing.record_position
    done(phone.post(path, {"station": "tack", "seen_position": seen}))
    refused(phone.post(path, {"station": "tack", "seen_position": seen}), 409, "changed_meanwhile")


WRONG: list[tuple[str, dict[str, Any], str]] = [
    ("arrive", {"station": 5}, "/station"),
    ("arrive", {"station": "s" * 300}, "/station"),
    ("arrive", {}, "/station"),
    ("arrive", {"station": "jig", "by": "W2"}, "/by"),
    ("work-done", {"station": "jig", "done_at": "2026-05-04T11:00:00"}, "/done_at"),
    ("work-done", {"station": "jig", "done_at": "yesterday"}, "/done_at"),
    ("work-done", {"station": "jig", "done_at": "2026-13-04T11:00:00Z"}, "/done_at"),
    ("work-done", {"station": "jig", "done_at": "0001-01-01T00:00:00+14:00"}, "/done_at"),
    ("work-done", {"station": "jig", "done_at": 1777887000}, "/done_at"),
    ("work-done", {"station": "jig", "note": "n" * 2001}, "/note"),
    ("hold", {"why": ""}, "/why"),
    ("hold", {"why": "w" * 2001}, "/why"),
    ("hold", {"why": None}, "/why"),
    ("release", {"hold": "1", "why": "y"}, "/hold"),
    ("release", {"hold": 2**31, "why": "y"}, "/hold"),
    ("release", {"hold": -1, "why": "y"}, "/hold"),
    ("cancel", {"why": {"text": "no"}}, "/why"),
]


def test_it_names_the_field_of_a_step_that_is_wrong(floor: Floor, desk: Caller, nothing_changes: Any) -> None:
    housing = floor.housing(until="jig")
    with nothing_changes():
        sent = (
            ((path, body), desk.post(f"/housings/{housing.serial}/{path}", body), pointer)
            for path, body, pointer in WRONG
        )
        assert unlike(sent) == []


def test_it_refuses_a_serial_whose_check_characters_do_not_agree(
    floor: Floor, phone: Caller, nothing_changes: Any
) -> None:
    (housing,) = floor.order()
    last = housing.serial[-1]
    wrong = housing.serial[:-1] + ("0" if last != "0" else "1")
    swapped = housing.serial[:2] + "100000" + housing.serial[8:]
    with nothing_changes():
        for typed in (wrong, swapped, "AX12", "%F0%9F%9A%97", "x" * 500):
            refused(phone.get(f"/housings/{typed}"), 422, "serial_wrong")
            refused(phone.post(f"/housings/{typed}/arrive", {"station": "jig"}), 422, "serial_wrong")


def test_it_takes_a_serial_as_people_read_it(floor: Floor, phone: Caller) -> None:
    (housing,) = floor.order()
    assert done(phone.get(f"/housings/{housing.serial_grouped.lower()}"))["serial"] == housing.serial


def test_the_serial_of_another_shop_is_nothing_here(
    floor: Floor, phone: Caller, nothing_changes: Any
) -> None:
    floor.order()
    foreign = serials.serial_from("ZQ", 1)
    with nothing_changes():
        refused(phone.get(f"/housings/{foreign}"), 404, "not_found")
        refused(phone.post(f"/housings/{foreign}/arrive", {"station": "jig"}), 404, "not_found")


def test_it_prints_several_travelers_in_one_file(floor: Floor, north: Caller) -> None:
    serials = [one.serial for one in floor.order(quantity=2)]
    query = "&".join(f"serial={serial}" for serial in serials)
    response = north.get(f"/travelers.pdf?{query}", Accept="application/pdf")
    assert response.status_code == 200 and response["Content-Type"] == "application/pdf"
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(response.content)).pages)
    assert text.count("Traveler ·") == 2
    other = floor.order(customer="basin")[0].serial
    for wrong, status in (
        ("", 422),
        (f"{query}&paper=a4", 422),
        ("&".join(f"serial=AX{n}" for n in range(7)), 422),
        ("serial=AX999", 422),
        (f"{query}&serial={other}", 404),
    ):
        assert north.get(f"/travelers.pdf?{wrong}", Accept="application/pdf").status_code == status, wrong


def test_it_prints_the_traveler(floor: Floor, north: Caller) -> None:
    (housing,) = floor.order()
    response = north.get(f"/housings/{housing.serial}/traveler.pdf", Accept="application/pdf")
    assert (response.status_code, response["Content-Type"]) == (200, "application/pdf")
    assert response.content.startswith(b"%PDF-")
    assert f"traveler-{housing.serial}.pdf" in response["Content-Disposition"]


def test_it_lists_housings_by_state_and_order(floor: Floor, office: Caller) -> None:
    first = floor.housing(until="jig")
    second, third = floor.order(quantity=2)
    shown = done(office.get("/housings?state=in_work"))["housings"]
    assert [(entry["serial"], entry["station"]) for entry in shown] == [(first.serial, "jig")]
    shown = done(office.get(f"/housings?order={second.order.number}"))["housings"]
    assert [entry["serial"] for entry in shown] == [third.serial, second.serial]
    assert done(office.get(f"/housings?order={second.order.number}&state=in_work"))["housings"] == []
    refused(office.get("/housings?state=lost"), 422, "parameter_wrong")
    refused(office.get("/housings?order=9999"), 404, "not_found")


def test_a_scrapped_housing_ends(floor: Floor, phone: Caller, desk: Caller) -> None:
    housing = floor.housing(until="jig")
    path = f"/housings/{housing.serial}"
    floor.do(raise_nonconformance, by="W1", housing=housing.serial, what="tube bent in the hoist")
    body = {"decision": "scrap", "reason": "cannot be straightened"}
    done(desk.post(f"{path}/nonconformances/1/disposition", body))
    refused(phone.post(f"{path}/arrive", {"station": "tack"}), 409, "housing_ended")
    refused(phone.post(f"{path}/hold", {"why": "no"}), 409, "housing_ended")
    shown = done(phone.get(path))
    assert (shown["state"], shown["next"], shown["station"]) == ("scrapped", [], None)


def test_it_shows_a_housing_after_its_signature(floor: Floor, desk: Caller) -> None:
    housing = floor.housing(until="signed")
    shown = done(desk.get(f"/housings/{housing.serial}"))
    assert shown["state"] == "signed_off"
    assert "housing_signed_off" in {reason["code"] for reason in shown["in_the_way"]["sign_off"]}
    for station in shown["next"]:
        floor.do(arrive, by="W1", housing=housing.serial, station=station)
        floor.do(leave_station, by="W1", housing=housing.serial, station=station)
