"""Readings out of a file: chosen, looked at, taken to the form, recorded; what is wrong is said."""

from __future__ import annotations

import datetime
import shutil
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse

from housings.models import Housing
from inspections.models import FileColumns, Reading
from shopqc import files
from tests.factories import GAUGE, Floor
from tests.inspections.conftest import SignedIn
from tests.visitor import Visitor

STATION = "face_and_drill"
FACE = [(x, y, f"0.00{(x * y) % 2}") for x in range(4) for y in range(4)]


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose face was cut and is to be measured."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    return found


def address(housing: Housing, code: str = "face_flatness") -> str:
    return f"/h/{housing.serial}/readings/{code}/file/"


def upload(
    visitor: Visitor, housing: Housing, content: str | bytes, code: str = "face_flatness"
) -> HttpResponse:
    """Send a file as the page does; follows on to what was made of it."""
    data = content.encode() if isinstance(content, str) else content
    sent = SimpleUploadedFile("arm.csv", data, content_type="text/csv")
    response = visitor.post(address(housing, code), {"upload": sent})
    return visitor.follow() if response.status_code == 302 else response


def face_file(head: str = "x [in],y [in],z [in]", sign: str = ",", mark: str = ".") -> str:
    rows = [sign.join(str(value).replace(".", mark) for value in point) for point in FACE]
    return "\n".join([head.replace(",", sign), *rows]) + "\n"


def take(visitor: Visitor) -> HttpResponse:
    """Press "Take these figures" and look at the form of the reading."""
    form = next(f for f in visitor.page.forms if f.method == "post" and f.values.get("file"))
    assert visitor.post(visitor.url.partition("?")[0], form.values).status_code == 302
    return visitor.follow()


def record(visitor: Visitor, **typed: Any) -> HttpResponse:
    form = next(f for f in visitor.page.forms if "sent_key" in f.values and "source" in f.values)
    return visitor.post(form.action, {**form.values, "gauge": GAUGE, **typed})


def test_a_file_is_looked_at_taken_and_recorded(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    assert worker.get(address(housing)).status_code == 200
    assert upload(worker, housing, face_file()).status_code == 200
    assert "16 rows, comma, decimal point, in." in worker.page.text
    assert "would pass" in worker.page.text and "Not recorded yet" in worker.page.text
    assert "<svg" in worker.response.content.decode()  # type: ignore[union-attr]
    assert not Reading.objects.filter(characteristic__code="face_flatness").exists()
    assert take(worker).status_code == 200
    assert record(worker).status_code == 302
    reading = Reading.objects.get(characteristic__code="face_flatness")
    assert reading.raw == {"points": [[str(v) for v in point] for point in FACE], "unit": "in"}
    assert reading.setup["source"] == "file" and "simulated" not in reading.setup


@pytest.mark.parametrize(("sign", "mark"), [(";", ","), ("\t", "."), (" ", ","), (";", ".")])
def test_every_dialect_gives_the_same_reading(
    housing: Housing, signed_in: SignedIn, sign: str, mark: str
) -> None:
    worker = signed_in("W1")
    upload(worker, housing, face_file("x[in],y[in],z[in]", sign, mark))
    take(worker)
    assert record(worker).status_code == 302
    reading = Reading.objects.get(characteristic__code="face_flatness")
    assert reading.raw["points"] == [[str(v) for v in point] for point in FACE]


def test_columns_nobody_can_guess_are_asked_once(housing: Housing, signed_in: SignedIn) -> None:
    content = face_file("east,north,height")
    worker = signed_in("W1")
    upload(worker, housing, content)
    assert "The columns x, y, z cannot be found. The file has: east, north, height." in worker.page.text
    chosen = {"column_x": "0", "column_y": "1", "column_z": "2"}
    asked = {name: value[0] for name, value in parse_qs(urlsplit(worker.url).query).items()}
    worker.get(f"{address(housing)}?" + "&".join(f"{n}={v}" for n, v in {**asked, **chosen}.items()))
    assert "inches or in mm" in worker.page.text
    chosen["unit"] = "mm"
    worker.get(f"{address(housing)}?" + "&".join(f"{n}={v}" for n, v in {**asked, **chosen}.items()))
    assert "would pass" in worker.page.text
    take(worker)
    assert record(worker).status_code == 302
    assert Reading.objects.get(characteristic__code="face_flatness").raw["unit"] == "mm"
    assert FileColumns.objects.count() == 1
    # Somebody else, later, with a file of the same instrument: nothing is asked.
    other = signed_in("M1")
    upload(other, housing, content.replace("0.001", "0.002"))
    assert "cannot be found" not in other.page.text and "would" in other.page.text


def test_two_ways_to_read_are_asked_about(housing: Housing, signed_in: SignedIn) -> None:
    code = "journal_runout_left"
    content = "\n".join(f"{n},{n + 1}" for n in range(10, 22)) + "\n"
    worker = signed_in("W1")
    upload(worker, housing, content, code)
    assert "can be read in two ways" in worker.page.text
    asked = {name: value[0] for name, value in parse_qs(urlsplit(worker.url).query).items()}
    worker.get(f"{address(housing, code)}?file={asked['file']}&decimal=,&unit=in")
    assert "decimal comma" in worker.page.text and "12 rows" in worker.page.text
    take(worker)
    form = next(f for f in worker.page.forms if "turn_0" in f.values)
    typed = [form.values[f"turn_{n}"] for n in range(4)] if not form.values.get("list") else []
    assert typed == ["10.11", "11.12", "12.13", "13.14"] or form.values["list"].startswith("10.11 11.12")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("", "The file is empty."),
        ("x,y\n1,2\n", "The column z cannot be found. The file has: x, y."),
        ("x [in],y [mm],z [in]\n1.5,2,3\n", "Mixed units"),
        ("x,y,z\n" + "1.5,2,3\n" * 20 + "1.5,abc,3\n", "Line 22, column “y”: “abc” is no number."),
        (
            "# serial: AX999999ZZ\nx,y,z\n1.5,2,3\n",
            "This file is of housing AX999999ZZ (line 1), and here is",
        ),
        ("x [in],y [in],z [in]\n" + "1.5,2,3\n" * 2001, "Face and axis, face, takes at most 2000. Thin"),
        ("x [in],y [in],z [in]\n" + "1.5,2,3\n" * 100_000, "The file has 100000 points"),
        ("x [in],y [in],z [in]\n" + "1.5,2,3\n" * 100_001, "at most 100000 are read"),
        ("x [in],y [in],z [in]\n1.5,2,3\n", "points"),
        (b"PK\x03\x04xxxx", "save it as CSV"),
        (b"1" * 5_000_001, "at most 5 MB are read"),
    ],
)
def test_what_is_wrong_with_a_file_is_said(
    housing: Housing, signed_in: SignedIn, content: str | bytes, says: str
) -> None:
    worker = signed_in("W1")
    response = upload(worker, housing, content)
    assert response.status_code in {200, 422}
    assert says in worker.page.text
    assert "would pass" not in worker.page.text
    assert not Reading.objects.filter(characteristic__code="face_flatness").exists()


def test_an_angle_that_stands_twice_is_said(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    upload(
        worker, housing, "angle,reading [in]\n0,0.001\n90,0.001\n90,0.002\n180,0.001\n", "journal_runout_left"
    )
    assert "“90” in line 4 is the same place as “90” in line 3" in worker.page.text


def test_the_own_serial_is_taken_however_it_is_grouped(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    upload(worker, housing, f"# Serial: {housing.serial.lower()[:5]}-{housing.serial[5:]}\n" + face_file())
    assert "would pass" in worker.page.text


def test_a_file_that_is_not_kept_any_more_is_asked_for_again(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    for digest in ("a" * 64, "../../etc/passwd", "x"):
        assert worker.get(f"{address(housing)}?file={digest}").status_code == 422
        assert "not kept any more" in worker.page.text
    assert worker.get(f"/h/{housing.serial}/readings/face_flatness/?file={'a' * 64}").status_code == 200
    assert "not kept any more" in worker.page.text


def test_what_is_looked_at_is_taken_from_no_file(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    assert worker.get(address(housing, "hole_threads")).status_code == 200
    assert "is not taken from a file" in worker.page.text
    assert worker.get(address(housing, "no_such_thing")).status_code == 404
    assert Visitor().get(address(housing)).status_code == 302


def test_who_may_not_record_reads_why(housing: Housing, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get(address(housing))
    assert "This needs the role" in owner.page.text
    assert upload(owner, housing, face_file()).status_code == 403


def test_choices_that_do_not_exist_are_refused_with_a_sentence(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    upload(worker, housing, face_file())
    for wrong in (
        "column_x=99",
        "column_x=-1",
        "column_x=1&column_y=1",
        "column_x=x",
        "decimal=%3B",
        "unit=yd",
    ):
        assert worker.get(f"{worker.url}&{wrong}").status_code == 200
    assert worker.post(address(housing), {"file": "b" * 64}).status_code == 422


def test_a_simulated_gauge_types_where_a_demonstration_wants_it(
    housing: Housing, signed_in: SignedIn, settings: Any
) -> None:
    url = f"/h/{housing.serial}/readings/face_flatness/"
    worker = signed_in("W1")
    worker.get(url)
    assert "Simulated gauge" not in worker.page.text
    worker.get(f"{url}?simulated=1")
    assert "nothing was measured" not in worker.page.text
    settings.SIMULATED_GAUGE = True
    worker.get(url)
    assert "Simulated gauge" in worker.page.text
    worker.get(f"{url}?simulated=1")
    assert "nothing was measured" in worker.page.text
    assert record(worker).status_code == 302
    reading = Reading.objects.get(characteristic__code="face_flatness")
    assert reading.setup["simulated"] is True and reading.setup["source"] == "gauge"
    assert reading.verdict == "pass"
    worker.follow()
    assert "Simulated: nothing was measured." in worker.page.text
    worker.get(f"/h/{housing.serial}/measured/")
    assert "simulated gauge" in worker.page.text


def test_a_forged_simulated_reading_is_refused(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    upload(worker, housing, face_file())
    take(worker)
    assert record(worker, simulated="on").status_code == 422
    assert "takes no simulated readings" in worker.page.text
    assert not Reading.objects.filter(characteristic__code="face_flatness").exists()


def test_one_file_of_an_arm_gives_every_figure_of_the_face(housing: Housing, signed_in: SignedIn) -> None:
    """A flat face 2.5 above the line through both journals' centers, and a bore about the middle of it."""
    ring = [
        (5, 0),
        (0, 5),
        (-5, 0),
        (0, -5),
        (4, 3),
        (-4, 3),
        (4, -3),
        (-4, -3),
        (3, 4),
        (-3, 4),
        (3, -4),
        (-3, -4),
    ]
    rows = [f"face;{x};{y};2,5" for x, y in ring]
    rows += [f"bore;{x};{y};2,4" for x, y in ((3, 0), (0, 3), (-3, 0), (0, -3))]
    rows += ["LH;-28;0;0", "RH;28;0;0", "Home;0;0;99"]
    content = "\n".join([f"# serial: {housing.serial}", "Feature;X [in];Y [in];Z [in]", *rows])
    worker = signed_in("W1")
    upload(worker, housing, content)
    assert "“Home” is none of face, left, right, bore" in worker.page.text
    form = next(f for f in worker.page.forms if "column_x" in f.values and f.method == "get")
    left_out = next(name for name, value in form.values.items() if name.startswith("called_") and not value)
    worker.get(f"{address(housing)}?{urlencode({**form.values, left_out: '-'})}")
    assert worker.page.text.count("would pass") == 4
    assert "the face: 12" in worker.page.text and "the pilot bore: 4" in worker.page.text
    take(worker)
    assert record(worker).status_code == 302
    values = dict(
        Reading.objects.filter(
            characteristic__parameters__taken_with="face", visit__station=STATION
        ).values_list("characteristic__code", "value")
    )
    assert values == {
        "face_flatness": "0",
        "face_distance": "2.5",
        "face_parallelism": "0",
        "pilot_center": "0",
    }


@pytest.mark.parametrize(
    "code", ["face_flatness", "camber_left", "journal_runout_left", "width", "pilot_bore", "hole_pattern"]
)
def test_the_simulated_gauge_has_a_run_for_what_the_plan_asks(
    housing: Housing, signed_in: SignedIn, settings: Any, code: str
) -> None:
    settings.SIMULATED_GAUGE = True
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/readings/{code}/?simulated=1")
    form = next(f for f in worker.page.forms if "sent_key" in f.values and "source" in f.values)
    assert worker.post(f"/h/{housing.serial}/readings/{code}/preview/", form.values).status_code == 200
    assert "would pass" in worker.response.content.decode()  # type: ignore[union-attr]
    assert "would fail" not in worker.response.content.decode()  # type: ignore[union-attr]


def test_what_was_changed_by_hand_is_not_from_the_file(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    upload(worker, housing, face_file())
    take(worker)
    form = next(f for f in worker.page.forms if "sent_key" in f.values and "source" in f.values)
    assert record(worker, list=form.values["list"].replace("0.001", "0.002")).status_code == 302
    assert Reading.objects.get(characteristic__code="face_flatness").setup["source"] == "typed"


def test_an_upload_is_kept_for_a_day(housing: Housing, signed_in: SignedIn, settings: Any) -> None:
    worker = signed_in("W1")
    shutil.rmtree(settings.FILE_STORE / "pending", ignore_errors=True)
    upload(worker, housing, face_file())
    kept = worker.url
    (path,) = (settings.FILE_STORE / "pending").glob("upload-*")
    now = datetime.datetime.fromtimestamp(path.stat().st_mtime, datetime.UTC)
    for hours, status in ((20, 200), (30, 422)):
        files.sweep_pending(now + datetime.timedelta(hours=hours))
        assert worker.get(kept).status_code == status
