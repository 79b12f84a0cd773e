"""Writing the next revision of a route on its sheet."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.models import RouteDraft, RouteRevision
from housings.route_changes import route_changes
from tests.factories import Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor


@pytest.fixture
def lead(floor: Floor, signed_in: SignedIn) -> Visitor:
    """The QC lead at a draft copied from the standard route."""
    visitor = signed_in("Q1")
    visitor.get("/routes/")
    visitor.press("from")
    visitor.follow()
    assert "Copied from standard 1." in visitor.page.text
    return visitor


def codes() -> list[str]:
    return [row["station"] for row in RouteDraft.objects.get().stations]


def form_of(visitor: Visitor, do: str) -> dict[str, Any]:
    form = visitor.page.form_with("do", do)
    assert form is not None, visitor.page.text
    return {**form.values, "do": do}


def test_a_station_is_put_in_where_the_catalogue_has_it(lead: Visitor) -> None:
    lead.press("do", "add", add="stress_relief")
    lead.follow()
    assert codes().index("stress_relief") == codes().index("face_and_drill") - 1
    assert "“Stress relief” is new, after “Snouts”." in lead.page.text


def test_stations_move_and_what_is_against_it_is_said_at_once(lead: Visitor) -> None:
    place = codes().index("snouts")
    lead.press("do", f"down {place}")
    lead.follow()
    assert codes()[place : place + 2] == ["face_and_drill", "snouts"]
    assert "“Snouts” has to come before “Face and drill”" in lead.page.text
    assert lead.page.form_with("do", "publish") is None
    lead.press("do", f"up {place + 1}")
    lead.follow()
    assert "Nothing is against this route." in lead.page.text
    assert "It is the same as standard 1 so far." in lead.page.text


def test_a_station_every_route_needs_can_be_taken_out_but_not_published(lead: Visitor) -> None:
    lead.press("do", f"remove {codes().index('leak_test')}")
    lead.follow()
    assert "“Leak test” is missing" in lead.page.text
    sent = {**form_of(lead, "keep"), "do": "publish"}
    assert lead.post(lead.url, sent).status_code == 409
    assert "It is not published" in lead.page.text
    assert RouteRevision.objects.count() == 1 and RouteDraft.objects.count() == 1


def test_it_publishes_and_the_draft_is_used_up(lead: Visitor) -> None:
    lead.press("do", "add", add="straighten")
    lead.follow()
    sent = {**form_of(lead, "publish"), "note": "Tubes come bent."}
    assert lead.post(lead.url, sent).status_code == 302
    # The double click gets the same answer and publishes nothing twice.
    assert lead.post(lead.url, sent).status_code == 302
    lead.follow()
    assert "Route standard, revision 2 is published." in lead.page.text
    newest = RouteRevision.objects.get(number=2)
    assert "straighten" in [row["station"] for row in newest.stations]
    assert (newest.note, newest.published_by) == ("Tubes come bent.", "Q1")
    assert not RouteDraft.objects.exists()


def test_only_with_links_and_groups_are_kept_and_checked(lead: Visitor) -> None:
    for station in ("clean_inside", "seam_bubble_test"):
        lead.press("do", "add", add=station)
        lead.follow()
    first, second = (codes().index(code) for code in ("clean_inside", "seam_bubble_test"))
    lead.press("do", "keep", **{f"group_{first}": "1", f"group_{second}": "1", f"links_{first}": "yes"})
    lead.follow()
    row = RouteDraft.objects.get().stations[first]
    assert row == {"station": "clean_inside", "when": "links", "group": 1}
    assert "in any order within it" in lead.page.text
    lead.press("do", "keep", group_0="2", group_1="2")
    lead.follow()
    assert "“Jig” and “Tack” cannot be in any order" in lead.page.text


def test_a_second_editor_is_told_and_nothing_typed_is_lost(
    floor: Floor, lead: Visitor, signed_in: SignedIn
) -> None:
    engineer = signed_in("E1")
    engineer.get(lead.url)
    lead.press("do", "add", add="coat")
    lead.follow()
    sent = {**form_of(engineer, "keep"), "note": "Typed by Edith.", "name": "heavy"}
    assert engineer.post(engineer.url, sent).status_code == 409
    assert "Stamp Q1 kept this draft meanwhile" in engineer.page.text
    assert "“Coat” is new, after “Leak test”." in engineer.page.text
    assert RouteDraft.objects.get().note == ""
    kept = form_of(engineer, "keep")
    assert (kept["note"], kept["name"]) == ("Typed by Edith.", "heavy")
    engineer.post(engineer.url, kept)
    draft = RouteDraft.objects.get()
    assert (draft.note, draft.kept_by) == ("Typed by Edith.", "E1")
    assert "coat" not in codes()


def test_what_changed_meanwhile_is_not_published(lead: Visitor, signed_in: SignedIn) -> None:
    engineer = signed_in("E1")
    engineer.get(lead.url)
    lead.press("do", "add", add="coat")
    assert engineer.post(engineer.url, form_of(engineer, "publish")).status_code == 409
    assert RouteRevision.objects.count() == 1


def test_a_draft_that_is_gone_is_begun_anew_with_what_was_typed(lead: Visitor, signed_in: SignedIn) -> None:
    engineer = signed_in("E1")
    engineer.get(lead.url)
    typed = {**form_of(engineer, "keep"), "note": "Kept on paper."}
    lead.press("do", "discard")
    lead.follow()
    assert "The draft is thrown away." in lead.page.text
    assert engineer.post(engineer.url, typed).status_code == 409
    assert "This draft was published or thrown away meanwhile" in engineer.page.text
    engineer.press("do", "begin")
    engineer.follow()
    assert RouteDraft.objects.get().note == "Kept on paper."


def test_two_clicks_change_it_once(lead: Visitor) -> None:
    sent = {**form_of(lead, "add"), "add": "coat"}
    assert [lead.post(lead.url, sent).status_code for _ in range(2)] == [302, 302]
    assert codes().count("coat") == 1
    assert RouteDraft.objects.get().version == 2


def test_beginning_twice_is_one_draft(floor: Floor, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    for _click in range(2):
        lead.get("/routes/")
        lead.press("from")
    assert RouteDraft.objects.count() == 1
    assert lead.post("/routes/", {"from": "99"}).status_code == 404


@pytest.mark.parametrize(
    "broken",
    [
        {"version": "x"},
        {"name": ""},
        {"do": "down 99"},
        {"do": "up -1"},
        {"do": "remove x"},
        {"do": ""},
        {"add": "polish", "do": "add"},
        {"station_0": "polish"},
        {"group_0": "77"},
    ],
)
def test_bad_input_breaks_nothing(lead: Visitor, broken: dict[str, str]) -> None:
    before = codes()
    response = lead.post(lead.url, {**form_of(lead, "keep"), **broken})
    assert response.status_code in {302, 422}
    expected = before[1:] if "station_0" in broken else before
    assert codes() == expected
    assert all(row.get("group") is None for row in RouteDraft.objects.get().stations)


@pytest.mark.parametrize("number", ["1" * 5000, "٣", "-1", "", "9" * 9])
def test_a_number_out_of_all_proportion_breaks_nothing(lead: Visitor, number: str) -> None:
    """5000 digits are more than Python reads as a whole number (sys.set_int_max_str_digits: 4300)."""
    before = codes()
    for what in ("up", "down", "remove"):
        assert lead.post(lead.url, {**form_of(lead, "keep"), "do": f"{what} {number}"}).status_code == 302
        lead.get(lead.url)
    assert codes() == before
    assert lead.post("/routes/", {"from": number}).status_code == 404


def test_who_may_not_publish_reads_and_writes_nothing(lead: Visitor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get(lead.url)
    assert not owner.page.has_button("do", "publish")
    assert owner.post(lead.url, form_of(lead, "add")).status_code == 403
    assert owner.post("/routes/", {"from": "1"}).status_code == 403
    assert signed_in("W1").get(lead.url).status_code == 403
    assert signed_in("Q1").get("/routes/drafts/999/").status_code == 404


def test_two_revisions_are_compared(lead: Visitor) -> None:
    lead.press("do", "add", add="coat")
    lead.follow()
    lead.press("do", "publish")
    first, second = RouteRevision.objects.order_by("number")
    newest_two = lead.get("/routes/compare/").content.decode()
    assert f'<option value="{first.pk}" selected>' in newest_two, "or it is compared with itself"
    lead.get(f"/routes/compare/?before={first.pk}&after={second.pk}")
    assert "What standard 2 has otherwise than standard 1 “Coat” is new, after “Leak test”." in lead.page.text
    lead.get(f"/routes/compare/?before={first.pk}&after={first.pk}")
    assert "Nothing: they are the same." in lead.page.text
    lead.get("/routes/compare/?before=x&after=99")
    assert "Choose two revisions that are here." in lead.page.text


def test_the_sheet_asks_the_database_a_fixed_number_of_times(lead: Visitor) -> None:
    with CaptureQueriesContext(connection) as seen:
        lead.get(lead.url)
    assert len(seen) <= 6


def test_changes_name_only_what_moved() -> None:
    before = [{"station": code} for code in ("jig", "tack", "truss", "snouts")]
    after = [before[0], before[2], before[1], before[3]]
    assert len(route_changes(before, after)) == 1
    assert route_changes(before, before) == []
    assert route_changes(before, after[1:])[0] == "“Jig” is gone."
