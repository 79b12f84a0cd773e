"""How a housing was welded, and of what: on its certificate, on its pages, over the API."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from pypdf import PdfReader

from housings.gate import Situation
from housings.models import Housing, Joint, JointTemperature
from housings.operations.recalls import recall_heat
from inspections import tasks
from inspections.certificate import render
from inspections.models import Certificate, SignOff
from inspections.weld_summary import in_rows, weld_summary
from inspections.weld_summary_words import warmest
from shopqc.rules import RULES
from tests.api.caller import Caller, done, refused
from tests.factories import LINKS_SPEC, Floor
from tests.housings import at_a_joint as bench
from tests.housings import steel
from tests.inspections import judging, welded
from tests.inspections.conftest import SignedIn
from tests.visitor import Visitor


def of(housing: Housing) -> dict[str, Any]:
    return weld_summary(Situation(Housing.objects.get(pk=housing.pk)))


def joint_of(housing: Housing, code: str) -> dict[str, Any]:
    (found,) = [joint for joint in of(housing)["welds"]["joints"] if joint["code"] == code]
    return found


@pytest.fixture
def stocked(floor: Floor) -> Floor:
    welded.stocked(floor)
    return floor


def text_of(made: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages).split())


def test_a_joint_has_its_passes_procedure_filler_heat_looks_and_tests(stocked: Floor) -> None:
    housing = welded.welded(stocked, until="bare_inspection")
    snout = joint_of(housing, "snout_left")
    assert snout["passes_shown"] == "3 passes" and snout["welders"] == ["W1"]
    assert snout["procedures"] == ["snout-4140-250 1"] and snout["consumables"] == ["F-80S", "A-100"]
    assert snout["steels"] == "4130 to 4140"
    # Arc energy U * I / v (ISO/TR 18491): 12.5 V * 175 A * 60 s / 3.5 in = 37.5 kJ/in.
    assert snout["heat_input"] == "37.5 kJ/in, arc energy"
    # Read before the first of the passes, and the highest of those before the others.
    assert (snout["preheat"], snout["interpass"]) == ("430 °F", "450 °F")
    assert snout["fit_up"] == "fit-up accepted, stamp W1"
    assert [look["shown"] for look in snout["looks"]] == [
        "root accepted, stamp M1",
        "finished weld accepted (ISO 5817 level B), stamp M1",
    ]
    rosettes = joint_of(housing, "rosettes_right")
    assert (rosettes["passes_shown"], rosettes["count"], rosettes["interpass"]) == ("4 of 4 welds", 4, "")


@pytest.mark.parametrize("until", ["released", "armor", "signed"])
def test_it_is_read_by_nine_queries_however_much_there_is(stocked: Floor, until: str) -> None:
    housing = Housing.objects.get(pk=welded.welded(stocked, until=until).pk)
    situation = Situation(housing)
    assert situation.in_use is not None and housing.spec.data
    with CaptureQueriesContext(connection) as seen:
        weld_summary(situation)
    assert len(seen) <= 9


def test_of_a_housing_without_any_record_the_rules_speak(floor: Floor) -> None:
    summary = of(floor.housing(until="armor"))
    assert summary["welds"]["joints"] == [] and summary["materials"]["parts"] == []
    assert summary["welds"]["missing"] == [str(RULES["welds_recorded"].when_off)]
    assert summary["materials"]["missing"] == [str(RULES["steel_traced"].when_off)]
    bench.use(floor, "welds_recorded", "steel_traced")
    summary = of(Housing.objects.get())
    assert summary["welds"]["missing"] == ["No weld pass of this housing is on record."]
    assert summary["materials"]["missing"] == ["No heat number of this housing's steel is on record."]


def test_what_is_on_record_in_part_says_of_what_it_is_not(stocked: Floor) -> None:
    housing = stocked.housing(until="snouts")
    bench.fit_up(stocked, housing)
    bench.done(stocked, housing, 1, temperatures=[bench.read()])
    steel.use(stocked, housing, {"part": "snout_left", "heat": "B-4140"})
    welds, materials = of(housing)["welds"], of(housing)["materials"]
    assert "Left snout to tube" not in welds["without"] and "Truss" in welds["without"]
    assert welds["missing"][0] == str(RULES["welds_recorded"].when_off)
    assert welds["missing"][1].startswith("No weld pass is on record of: Center seams, Internal ribs,")
    assert materials["missing"][1].startswith("No heat number is on record of: Left tube, Right tube,")


def test_a_pass_that_was_taken_back_never_was_and_one_outside_is_named(stocked: Floor) -> None:
    housing = stocked.housing(until="snouts")
    bench.fit_up(stocked, housing)
    bench.done(stocked, housing, 1, temperatures=[bench.read()])
    answer = bench.done(stocked, housing, 2, temperatures=[bench.read(bench.HOT)])
    assert joint_of(housing, "snout_left")["outside"] == [answer["nonconformance"]]
    bench.take_back(stocked, housing, 2)
    snout = joint_of(housing, "snout_left")
    assert (snout["passes_shown"], snout["outside"], snout["interpass"]) == ("1 pass", [], "")


def test_steel_of_one_heat_stands_together_and_a_replaced_entry_does_not_count(stocked: Floor) -> None:
    housing = stocked.housing(until="jig")
    steel.heat(stocked, "T-OTHER", condition="normalised", form="tube", certificate_type="3.1")
    steel.use(stocked, housing, *steel.steel_of(housing, "jig"))
    before = of(housing)["materials"]["parts"]
    assert [(row["heat"], row["parts"]) for row in before] == [
        ("T-4130", ["Left tube", "Right tube"]),
        ("P-4130", ["Plate of the center section"]),
    ]
    correction = {"part": "tube_left", "heat": "T-OTHER", "why": "read from the wrong tube"}
    newest = housing.materials.get(part="tube_left")
    steel.use(stocked, housing, {**correction, "replaces": str(newest.pk)})
    after = {
        row["heat"]: (row["parts"], row["certificate_type"]) for row in of(housing)["materials"]["parts"]
    }
    assert after["T-OTHER"] == (["Left tube"], "3.1") and after["T-4130"] == (["Right tube"], "")


def test_what_was_read_stands_as_it_was_read() -> None:
    def read(value: str, unit: str = "F", crayon: str = "") -> JointTemperature:
        return JointTemperature(value=value, unit=unit, crayon=crayon)

    assert warmest([]) == ""
    assert warmest([[read("380")], [read("200", "C")], [read("391")]]) == "200 °C"  # 392 °F
    # A crayon that did not melt bounds from above; one that did only says at least.
    assert warmest([[read("250", crayon="above"), read("400", crayon="below")]]) == "below 400 °F (crayon)"
    assert warmest([[read("250", crayon="above")]]) == "above 250 °F (crayon)"


def test_joints_of_which_the_same_is_said_share_a_row(stocked: Floor) -> None:
    housing = welded.welded(stocked, until="measured")
    rows = in_rows(of(housing)["welds"])["rows"]
    names = [row["names"] for row in rows]
    assert ["Left snout to tube", "Right snout to tube"] in names
    assert ["Center seams"] in names and ["Internal ribs"] in names
    assert sum(map(len, names)) == Joint.objects.filter(housing=housing).count()


def test_the_certificate_freezes_and_prints_it_on_one_page_more(stocked: Floor) -> None:
    bare = stocked.housing(until="signed", spec=LINKS_SPEC)
    housing = welded.welded(stocked, spec=LINKS_SPEC)
    facts = {
        signed.housing_id: json.loads(signed.facts) for signed in SignOff.objects.select_related("housing")
    }
    told, plain = facts[housing.pk], facts[bare.pk]
    assert told["format"] == 3 and told["welds"]["missing"] == [] and told["materials"]["missing"] == []
    assert plain["welds"]["joints"] == [] and len(plain["welds"]["missing"]) == 1
    # People by stamp: who came from outside to test goes by certificate.
    assert "Nora Outside" not in json.dumps(told)
    for paper in ("letter", "a4"):
        shop = {**told["shop"], "paper": paper}
        made, without = render.render({**told, "shop": shop}), render.render({**plain, "shop": shop})
        text = text_of(made)
        for said in (
            "snout-4140-375 1",
            "TIG (ISO 4063: 141)",
            "12 of 12 welds",
            "magnetic particles (MT) accepted",
            "tester from outside, level 2, certificate MT-2-889",
            "T-4130",
            "ER80S-D2",
            "ISO 5817 level B",
        ):
            assert said in text, said
        assert "An axle housing that breaks on the road can kill." in text
        assert len(PdfReader(io.BytesIO(made)).pages) <= len(PdfReader(io.BytesIO(without)).pages) + 1
        assert str(RULES["welds_recorded"].when_off) in text_of(without)


def test_facts_of_format_2_print_without_a_word_of_welding(floor: Floor) -> None:
    floor.housing(until="signed")
    facts = json.loads(SignOff.objects.get().facts)
    old = {name: value for name, value in facts.items() if name not in {"welds", "materials"}}
    text = text_of(render.render({**old, "format": 2}))
    assert facts["number"] in text and "How it was welded" not in text


def test_its_pages_say_it_to_the_shop_and_to_who_holds_the_certificate(
    stocked: Floor, signed_in: SignedIn
) -> None:
    housing = welded.welded(stocked)
    lead = signed_in("Q1")
    lead.get(f"/h/{housing.serial}/")
    assert f"/h/{housing.serial}/welded/" in lead.page.links
    lead.get(f"/h/{housing.serial}/welded/")
    for said in ("Left snout to tube", "snout-4140-250 1", "T-4130", "stamp W1", "is safe to use"):
        assert said in lead.page.text, said
    certificate = Certificate.objects.get()
    stranger = Visitor()
    stranger.get(f"/c/{certificate.code}/")
    assert "snout-4140-250 1" not in stranger.page.text  # the paper is not made yet
    tasks.issue_certificate(certificate.job.pk)
    stranger.get(f"/c/{certificate.code}/")
    assert "snout-4140-250 1" in stranger.page.text and "T-4130" in stranger.page.text
    assert "Nora Outside" not in stranger.page.text and "Wes Tandy" not in stranger.page.text


def test_the_order_system_reads_it_and_another_customers_does_not(stocked: Floor) -> None:
    housing = welded.welded(stocked, until="armor")
    own = Caller(stocked.api_key("orders", customer="north")[0])
    told = done(own.get(f"/housings/{housing.serial}/welds"))
    assert told["serial"] == housing.serial
    assert {"joints", "procedures", "missing", "without"} <= set(told["welds"])
    assert {"parts", "consumables", "missing", "without"} <= set(told["materials"])
    other = Caller(stocked.api_key("orders", customer="basin")[0])
    refused(other.get(f"/housings/{housing.serial}/welds"), 404, "not_found")
    refused(own.get(f"/housings/{housing.serial}/welds?x=1"), 422, "parameter_unknown")


def test_a_refused_weld_its_repair_and_who_tested_it_are_told(stocked: Floor) -> None:
    housing = stocked.housing(until="snouts")
    stocked.weld(housing, judging.LEFT, 3)
    number = judging.refuse_weld(stocked, housing)
    judging.rework(stocked, housing, number)
    judging.repair(stocked, housing, number)
    judging.look(stocked, housing, "cavity")
    stocked.weld(housing, judging.LEFT, 1, repair=1)
    judging.look(stocked, housing, "final", repair=1)
    snout = joint_of(housing, "snout_left")
    assert snout["passes_shown"] == "3 passes, 1 of repairs" and snout["passes"] == 3
    assert snout["procedures"] == ["snout-4140-250 1", "repair-snout-4140 1"]
    assert snout["repairs"] == ["repair 1 for nonconformance 1, repair-snout-4140 1"]
    assert [look["shown"] for look in snout["looks"]] == [
        "finished weld refused, nonconformance 1 (ISO 5817 level B), stamp Q1",
        "cavity of the repair accepted, stamp Q1",
        "finished weld accepted (ISO 5817 level B), stamp Q1",
    ]
    text = json.dumps(of(housing))
    assert "Wes Tandy" not in text and "Quinn Abara" not in text


def test_a_recall_puts_its_page_under_question_without_blaming_a_gauge(
    stocked: Floor, signed_in: SignedIn
) -> None:
    welded.welded(stocked)
    certificate = Certificate.objects.get()
    tasks.issue_certificate(certificate.job.pk)
    stocked.do(recall_heat, by="Q1", heat="T-4130", why="The mill has sent the wrong grade.")
    stranger = Visitor()
    stranger.get(f"/c/{certificate.code}/")
    assert "Under question" in stranger.page.text and "a material in it was recalled" in stranger.page.text
    assert "T-4130" not in stranger.page.text and "wrong grade" not in stranger.page.text
