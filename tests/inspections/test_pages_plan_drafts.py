"""Writing the next revision of a plan of measuring."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections.models import PlanDraft, PlanRevision
from inspections.plan_changes import plan_changes
from tests.factories import Floor
from tests.inspections.conftest import SignedIn
from tests.visitor import Visitor


@pytest.fixture
def lead(floor: Floor, signed_in: SignedIn) -> Visitor:
    """The QC lead at a draft copied from the standard plan."""
    visitor = signed_in("Q1")
    visitor.get(f"/plans/{PlanRevision.objects.get().pk}/")
    visitor.press("from")
    visitor.follow()
    assert "Copied from standard 1." in visitor.page.text
    return visitor


def draft() -> PlanDraft:
    return PlanDraft.objects.get()


def entry(code: str) -> dict[str, Any]:
    return next(row for row in draft().characteristics if row["code"] == code)


def at(visitor: Visitor, code: str) -> Visitor:
    """The visitor on the page of one characteristic."""
    assert visitor.get(f"/plans/drafts/{draft().pk}/of/{code}/").status_code == 200
    return visitor


def form_of(visitor: Visitor, do: str = "keep") -> dict[str, Any]:
    form = visitor.page.form_with("do", do)
    assert form is not None, visitor.page.text
    return {**form.values, "do": do}


def test_a_limit_is_changed_and_published(lead: Visitor) -> None:
    at(lead, "face_flatness")
    values = form_of(lead)
    assert (values["due_0_station"], values["due_0_upper"]) == ("face_and_drill", "0.004")
    lead.post(lead.url, {**values, "due_0_upper": "0,003"})
    lead.follow()
    assert entry("face_flatness")["due"][0]["upper"] == "0.003"
    assert "at Face and drill: may be up to 0.004 in → may be up to 0.003 in" in lead.page.text
    sent = {**form_of(lead, "publish"), "note": "The carrier's gasket wants it."}
    assert [lead.post(lead.url, sent).status_code for _click in range(2)] == [302, 302]
    lead.follow()
    assert "Plan standard, revision 2 is published." in lead.page.text
    newest = PlanRevision.objects.get(number=2)
    assert newest.note == "The carrier's gasket wants it."
    assert PlanRevision.objects.count() == 2 and not PlanDraft.objects.exists()


def test_every_characteristic_comes_back_from_its_form_as_it_was(lead: Visitor) -> None:
    before = draft().characteristics
    for row in before:
        at(lead, row["code"])
        assert lead.post(lead.url, form_of(lead)).status_code == 302, row["code"]
    assert plan_changes(before, draft().characteristics) == []
    after = draft().characteristics
    for rows in (before, after):
        for row in rows:
            row["movable_by"] = sorted(row.get("movable_by", ()))
    assert after == before


def test_what_is_against_it_stands_beside_the_characteristic(lead: Visitor) -> None:
    """A feature is measured after the last work that can move it (common practice, no source)."""
    at(lead, "face_flatness")
    lead.post(lead.url, {**form_of(lead), "due_1_station": ""} | {"due_1_upper": ""})
    lead.follow()
    why = "“Flatness of the face” is not measured any more after “Armor plates”, which can move it"
    assert lead.page.text.count(why) >= 2, "in the list of reasons and beside the characteristic"
    assert lead.page.form_with("do", "publish") is None
    at(lead, "face_flatness")
    assert why in lead.page.text
    lead.get(f"/plans/drafts/{draft().pk}/")
    refused = lead.post(lead.url, {**form_of(lead), "do": "publish"})
    assert refused.status_code == 422
    assert PlanRevision.objects.count() == 1 and PlanDraft.objects.count() == 1


def test_limits_the_wrong_way_round_are_kept_as_a_draft_and_said(lead: Visitor) -> None:
    at(lead, "face_thickness")
    lead.post(lead.url, {**form_of(lead), "due_0_upper": "0.1"})
    lead.follow()
    assert "the lower limit 0.4375 is above the upper limit 0.1" in lead.page.text


def test_a_characteristic_is_added_at_the_end_of_its_part(lead: Visitor) -> None:
    lead.get(f"/plans/drafts/{draft().pk}/add/")
    new = {
        "name": "Runout of the left brake flange",
        "code": "flange_runout_left",
        "kind": "runout",
        "part": "ends",
        "due_0_station": "final_inspection",
        "due_0_upper": "0.010",
        "movable_by": ["snouts", "straighten"],
        "points_at_least": "4",
        "measured_from": "A-B",
    }
    lead.post(lead.url, {**form_of(lead), **new})
    lead.follow()
    kept = entry("flange_runout_left")
    assert kept["movable_by"] == ["snouts", "straighten"]
    assert kept["due"] == [
        {
            "station": "final_inspection",
            "lower": None,
            "upper": "0.010",
            "with_station": None,
            "without_station": None,
        }
    ]
    ends = [row["code"] for row in draft().characteristics if row["part"] == "ends"]
    assert ends[-1] == "flange_runout_left"
    assert "Runout of the left brake flange : is new" in lead.page.text


def test_a_nominal_comes_from_the_build_spec_times_a_factor_and_more(lead: Visitor) -> None:
    """Half the width and 0.035 for one joint's shrinkage: an invented figure."""
    at(lead, "preset_width")
    values = form_of(lead)
    assert (values["nominal_plus"], values["nominal_field_1"]) == ("0.07", "width")
    lead.post(lead.url, {**values, "nominal_times_1": "0.5", "nominal_plus": "0.035"})
    assert entry("preset_width")["nominal"] == {
        "plus": "0.035",
        "terms": [{"field": "width", "times": "0.5"}],
    }


def test_a_bolt_circle_is_worked_out(lead: Visitor) -> None:
    """Four holes on a circle of 10, the first at 0°: corners of a square on its axes (plain geometry)."""
    lead.get(f"/plans/drafts/{draft().pk}/add/")
    new = {"name": "Pattern of the inspection cover", "code": "cover_pattern", "kind": "hole_pattern"}
    circle = {"circle_count": "4", "circle_diameter": "10", "circle_first": "0", "part": "holes"}
    due = {"due_0_station": "face_and_drill", "due_0_upper": "0.03"}
    assert lead.post(lead.url, {**form_of(lead), **new, "circle_count": "4"}).status_code == 422
    assert "A bolt circle needs count, diameter and first angle." in lead.page.text
    lead.post(lead.url, {**form_of(lead), **new, **circle, **due})
    assert entry("cover_pattern")["centers"] == [
        ["5.0000", "0.0000"],
        ["0.0000", "5.0000"],
        ["-5.0000", "0.0000"],
        ["0.0000", "-5.0000"],
    ]
    at(lead, "cover_pattern")
    assert form_of(lead)["centers_list"].splitlines()[0] == "5.0000 0.0000"


def test_constants_are_figures_or_fields_of_the_build_spec(lead: Visitor) -> None:
    at(lead, "face_parallelism")
    rows = {"constant_count": "3", "constant_0_name": "over", "constant_0_plus": "12"}
    lead.post(lead.url, {**form_of(lead), **rows})
    at(lead, "face_parallelism")
    values = form_of(lead)
    place = next(i for i in range(3) if values.get(f"constant_{i}_name", "") == "")
    more = {f"constant_{place}_name": "shaft_diameter", f"constant_{place}_field": "shaft_body"}
    lead.post(lead.url, {**values, **more})
    kept = entry("face_parallelism")["constants"]
    assert kept["over"] == "12"
    assert kept["shaft_diameter"] == {"plus": "0", "terms": [{"field": "shaft_body", "times": "1"}]}


def test_more_rows_keep_what_was_typed_and_change_nothing(lead: Visitor) -> None:
    at(lead, "face_flatness")
    before = int(form_of(lead)["due_count"])
    response = lead.post(lead.url, {**form_of(lead), "do": "more", "due_0_upper": "0.0035", "code": "!"})
    assert response.status_code == 200
    values = form_of(lead)
    assert (values["due_0_upper"], int(values["due_count"])) == ("0.0035", before + 2)
    assert draft().version == 1


def test_it_moves_copies_and_takes_out(lead: Visitor) -> None:
    face = [row["code"] for row in draft().characteristics if row["part"] == "face"]
    lead.press("do", f"down {face[0]}")
    lead.follow()
    now = [row["code"] for row in draft().characteristics if row["part"] == "face"]
    assert now[:2] == [face[1], face[0]]
    assert "The order : of the characteristics is another" in lead.page.text
    lead.press("do", f"up {face[0]}")
    lead.follow()
    lead.press("do", f"copy {face[0]}")
    lead.follow()
    assert entry(f"{face[0]}_2")["name"] == entry(face[0])["name"]
    lead.press("do", f"remove {face[0]}_2")
    lead.follow()
    assert "Nothing so far." in lead.page.text


def test_two_clicks_move_it_once(lead: Visitor) -> None:
    face = [row["code"] for row in draft().characteristics if row["part"] == "face"]
    sent = {**form_of(lead, f"down {face[0]}")}
    assert [lead.post(lead.url, sent).status_code for _click in range(2)] == [302, 302]
    now = [row["code"] for row in draft().characteristics if row["part"] == "face"]
    assert now[:3] == [face[1], face[0], face[2]]


def test_two_people_who_change_two_characteristics_both_keep_theirs(
    lead: Visitor, signed_in: SignedIn
) -> None:
    engineer = at(signed_in("E1"), "face_thickness")
    theirs = form_of(engineer)
    at(lead, "face_flatness")
    lead.post(lead.url, {**form_of(lead), "due_0_upper": "0.003"})
    assert engineer.post(engineer.url, {**theirs, "due_0_lower": "0.5"}).status_code == 302
    assert entry("face_flatness")["due"][0]["upper"] == "0.003"
    assert entry("face_thickness")["due"][0]["lower"] == "0.5"


def test_the_second_to_change_the_same_one_is_told_and_loses_nothing(
    lead: Visitor, signed_in: SignedIn
) -> None:
    engineer = at(signed_in("E1"), "face_flatness")
    theirs = {**form_of(engineer), "due_0_upper": "0.002", "note": "Typed by Edith."}
    at(lead, "face_flatness")
    lead.post(lead.url, {**form_of(lead), "due_0_upper": "0.003"})
    assert engineer.post(engineer.url, theirs).status_code == 409
    assert "Stamp Q1 changed this characteristic meanwhile" in engineer.page.text
    assert "may be up to 0.002 in → may be up to 0.003 in" in engineer.page.text
    assert entry("face_flatness")["due"][0]["upper"] == "0.003"
    kept = form_of(engineer)
    assert (kept["due_0_upper"], kept["note"]) == ("0.002", "Typed by Edith.")
    engineer.post(engineer.url, kept)
    assert entry("face_flatness")["due"][0]["upper"] == "0.002"


def test_on_the_sheet_the_second_editor_is_told(lead: Visitor, signed_in: SignedIn) -> None:
    engineer = signed_in("E1")
    engineer.get(lead.url)
    old = form_of(engineer, "keep")
    lead.press("do", "remove coat_thickness")
    typed = {**old, "do": "remove face_flatness", "note": "Typed by Edith."}
    assert engineer.post(lead.url, typed).status_code == 409
    assert "Stamp Q1 kept this draft meanwhile" in engineer.page.text
    assert entry("face_flatness")
    assert form_of(engineer)["note"] == "Typed by Edith."
    sent = {**old, "do": "publish"}
    assert engineer.post(lead.url, sent).status_code == 409
    assert PlanRevision.objects.count() == 1


def test_what_is_typed_for_a_draft_that_is_gone_stays_on_the_page(lead: Visitor, signed_in: SignedIn) -> None:
    engineer = at(signed_in("E1"), "face_flatness")
    typed = {**form_of(engineer), "note": "Typed by Edith."}
    lead.get(f"/plans/drafts/{draft().pk}/")
    lead.press("do", "discard")
    lead.follow()
    assert "The draft is thrown away." in lead.page.text
    assert engineer.post(engineer.url, typed).status_code == 409
    assert "This draft was published or thrown away meanwhile" in engineer.page.text
    assert form_of(engineer)["note"] == "Typed by Edith."
    assert engineer.get(engineer.url).status_code == 404


@pytest.mark.parametrize(
    ("broken", "said"),
    [
        ({"due_0_upper": "1.2.3"}, "1.2.3"),
        ({"due_0_upper": "0.003 in"}, "Write the number without its unit."),
        ({"due_2_upper": "0.1"}, "Say at which station this limit holds."),
        ({"due_0_station": "polish"}, "polish is not one of the available choices"),
        ({"kind": "smell"}, "smell is not one of the available choices"),
        ({"code": "Face Flatness"}, "Small letters, digits and _"),
        ({"code": "face_thickness"}, "Another characteristic of this draft has this code."),
        ({"name": " "}, "This is needed."),
        ({"points_at_least": "0"}, "greater than or equal to 1"),
        ({"center_x": "1"}, "A center has x and y."),
        ({"constant_0_plus": "12"}, "Say how this constant is called."),
        ({"constant_0_name": "over"}, "Say its figure."),
        ({"centers_list": "1 2 3"}, "Line 1 has 3 numbers"),
        ({"circle_count": "4", "circle_diameter": "-1", "circle_first": "0"}, "diameter above zero"),
        ({"due_count": "4000"}, "less than or equal to"),
        ({"version": ""}, ""),
    ],
)
def test_bad_input_is_said_beside_its_field_and_kept(
    lead: Visitor, broken: dict[str, str], said: str
) -> None:
    at(lead, "face_flatness")
    assert lead.post(lead.url, {**form_of(lead), **broken}).status_code == 422
    assert said in lead.page.text
    assert draft().version == 1


def test_who_may_not_publish_writes_nothing(lead: Visitor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get(lead.url)
    assert not owner.page.has_button("do", "publish")
    assert owner.post(lead.url, form_of(lead, "keep")).status_code == 403
    assert owner.get(f"{lead.url}of/face_flatness/").status_code == 403
    assert signed_in("W1").get(lead.url).status_code == 403
    assert signed_in("Q1").post("/plans/drafts/", {"from": "999"}).status_code == 404
    assert signed_in("Q1").get("/plans/drafts/999/").status_code == 404


@pytest.mark.parametrize("number", ["1" * 5000, "٣", "-1", "", "9" * 9])
def test_a_number_out_of_all_proportion_breaks_nothing(lead: Visitor, number: str) -> None:
    """5000 digits are more than Python reads as a whole number (sys.set_int_max_str_digits: 4300)."""
    assert lead.post("/plans/drafts/", {"from": number}).status_code == 404
    at(lead, "face_flatness")
    for count in ("due_count", "constant_count"):
        assert lead.post(lead.url, {**form_of(lead), count: number}).status_code in {302, 422}
        assert entry("face_flatness")["code"] == "face_flatness"
        at(lead, "face_flatness")


def test_two_revisions_are_compared(lead: Visitor) -> None:
    lead.press("do", "remove coat_thickness")
    lead.follow()
    lead.press("do", "publish")
    first, second = PlanRevision.objects.order_by("number")
    newest_two = lead.get("/plans/compare/").content.decode()
    assert f'<option value="{first.pk}" selected>' in newest_two, "or it is compared with itself"
    lead.get(f"/plans/compare/?before={first.pk}&after={second.pk}")
    assert "Thickness of the coating : is gone" in lead.page.text
    lead.get(f"/plans/compare/?before={first.pk}&after={first.pk}")
    assert "Nothing: they are the same." in lead.page.text
    lead.get("/plans/compare/?before=x")
    assert "Choose two revisions that are here." in lead.page.text


def test_the_sheet_asks_the_database_a_fixed_number_of_times(lead: Visitor) -> None:
    with CaptureQueriesContext(connection) as seen:
        lead.get(lead.url)
    assert len(seen) <= 8
    with CaptureQueriesContext(connection) as seen:
        at(lead, "face_flatness")
    assert len(seen) <= 8
