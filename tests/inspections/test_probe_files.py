"""Files that instruments write. What is expected is design; the angles of a clock face are facts of geometry.

The round trips are their own reference: a table is written in a dialect by the plain rules of that dialect
and has to come back as it was.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.probe_files import (
    MOST_BYTES,
    MOST_ROWS,
    Shape,
    Table,
    Taken,
    Unreadable,
    feature_named,
    figure,
    guess,
    read,
    same_serial,
    take,
)

FEATURES = ("face", "left", "right", "bore")


def taken(content: bytes, shape: Shape, most: int = 2000, **kwargs: object) -> Taken:
    table = read(content)
    return take(table, shape, guess(table, shape), what="it", most=most, **kwargs)


def refused(content: bytes, shape: Shape, **kwargs: object) -> str:
    with pytest.raises(Unreadable) as said:
        taken(content, shape, **kwargs)
    assert len(str(said.value)) < 400
    return str(said.value)


# --- figures as gauges send them -------------------------------------------------------------------
@pytest.mark.parametrize(
    ("sent", "text", "unit"),
    [
        ("+0.0012 in", "0.0012", "in"),
        ("  -.003", "-0.003", ""),
        ("0,05 mm", "0.05", "mm"),
        ("0,05mm\r", "0.05", "mm"),
        ('1.250"', "1.250", "in"),
        ("1.250 in.", "1.250", "in"),
        ("D1: +0.0012 in", "0.0012", "in"),
        ("R=-0.012mm", "-0.012", "mm"),
        ("X +12.5", "12.5", ""),
        ("+ 0.0005", "0.0005", ""),
        ("−0.5", "-0.5", ""),
        ("68.5 °F", "68.5", "F"),
        ("20,5 °C", "20.5", "C"),
        ("4.98 psi", "4.98", "psi"),
        ("34,3 kPa", "34.3", "kPa"),
        ("1.25E-03", "0.00125", ""),
        ("-2.5e+01", "-25", ""),
        ("1.2345E+02", "123.45", ""),
        ("0.00E+00", "0.00", ""),
        ("00012.340", "00012.340", ""),
        ("7.", "7", ""),
    ],
)
def test_a_figure_is_taken_out_of_what_a_gauge_sends(sent: str, text: str, unit: str) -> None:
    assert figure(sent) == (text, unit)


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ("", "missing"),
        ("1,234.5", "a point and a comma"),
        ("1.2.3", "more than one decimal sign"),
        ("1 234", "is no number"),
        ("0.00l4", "is no number"),
        ("0.5 kg", "is no unit"),
        ("12 µm", "mm or in"),
        ("0.3 bar", "in psi"),
        ("nan", "is no number"),
        ("９", "is no number"),
        ("8" * 200, "is no number"),
    ],
)
def test_what_is_no_figure_is_said(sent: str, says: str) -> None:
    with pytest.raises(Unreadable, match=says):
        figure(sent)


# --- round trips -------------------------------------------------------------------------------------
numbers = st.builds(
    lambda sign, whole, part: f"{sign}{whole}.{part}" if part else f"{sign}{whole}",
    st.sampled_from(["", "-"]),
    st.integers(0, 99_999),
    st.from_regex(r"[0-9]{0,6}", fullmatch=True),
)
tables = st.integers(2, 5).flatmap(
    lambda width: st.lists(st.lists(numbers, min_size=width, max_size=width), min_size=2, max_size=12)
)
DIALECTS = [(sign, mark) for sign in ("\t", ";", " ", "   ", ", ") for mark in ".,"] + [(",", ".")]
DIALECTS.remove((", ", ","))  # nobody writes 1,5, 2,5
ENCODINGS = ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"]


@given(
    rows=tables,
    dialect=st.sampled_from(DIALECTS),
    encoding=st.sampled_from(ENCODINGS),
    end=st.sampled_from(["\n", "\r\n", "\r"]),
    with_header=st.booleans(),
    remark=st.sampled_from(["", "# gauge arm 2", "// probe 3 mm", "% n° 4"]),
    blank_lines=st.booleans(),
)
@settings(deadline=None)
def test_a_table_reads_back_the_same_in_every_dialect(
    rows: list[list[str]],
    dialect: tuple[str, str],
    encoding: str,
    end: str,
    with_header: bool,
    remark: str,
    blank_lines: bool,
) -> None:
    sign, mark = dialect
    headings = [f"column{'abcde'[place]} [mm]" for place in range(len(rows[0]))]
    lines = [remark] if remark else []
    lines += [sign.join(headings)] if with_header else []
    lines += [sign.join(number.replace(".", mark) for number in row) for row in rows]
    text = (end + (end if blank_lines else "")).join(lines) + end
    try:
        table = read(text.encode(encoding))
    except Unreadable as said:
        # Without decimals at all "1,2" may be either; then it asks. Nothing else is refused.
        assert said.question == "decimal"
        return
    back = [[figure(cell, table.dialect.decimal or None).text for cell in row.cells] for row in table.rows]
    assert back == rows
    assert table.has_header == with_header
    if with_header:
        assert [column.unit for column in table.columns] == ["mm"] * len(headings)


@given(st.lists(numbers.filter(lambda number: "." in number), min_size=2, max_size=30), st.sampled_from(".,"))
@settings(deadline=None)
def test_a_column_of_readings_reads_back_or_is_asked_about(column: list[str], mark: str) -> None:
    content = "\n".join(number.replace(".", mark) for number in column).encode()
    table = read(content, decimal=mark)
    assert taken_column(table) == column
    try:
        assert taken_column(read(content)) == column
    except Unreadable as said:
        assert said.question == "decimal" and mark == ","
    headed = read(b"reading [mm]\n" + content)
    assert taken_column(headed) == column


def taken_column(table: Table) -> list[str]:
    found = take(table, Shape.VALUES, guess(table, Shape.VALUES), what="it", most=100)
    return [row[0] for row in found.parts[""]]


# --- nothing but its own error ----------------------------------------------------------------------
@given(st.binary(max_size=300), st.sampled_from(list(Shape)))
@settings(deadline=None, max_examples=300)
def test_any_bytes_are_read_or_refused(content: bytes, shape: Shape) -> None:
    read_or_refuse(content, shape)


SNIPPETS = (
    "x y z feature hole angle min psi [mm] in ; , 1 0.5 0,5 - + E+02 # // serial: unit=mm face left ° 12:00 é"
)
snippets = st.sampled_from([*SNIPPETS.split(), "\t", " ", "\n", "\r\n", '"', "\x1a", "\u2028", "\u0661"])


@given(
    st.lists(snippets, max_size=60).map("".join), st.sampled_from(ENCODINGS[:5]), st.sampled_from(list(Shape))
)
@settings(deadline=None, max_examples=500)
def test_any_text_that_looks_like_a_file_is_read_or_refused(text: str, encoding: str, shape: Shape) -> None:
    read_or_refuse(text.encode(encoding), shape)


def read_or_refuse(content: bytes, shape: Shape) -> None:
    for decimal in (None, ".", ","):
        for features in ((), FEATURES, ("face",)):
            try:
                table = read(content, decimal=decimal)
                columns = guess(table, shape)
                found = take(table, shape, columns, what="it", most=50, features=features)
            except Unreadable as said:
                assert str(said)
                continue
            assert found.count > 0
            assert all(len(row) == len(found.columns) for rows in found.parts.values() for row in rows)


# --- bounds -------------------------------------------------------------------------------------------
def test_a_hundred_thousand_rows_are_read_and_too_many_for_a_face() -> None:
    content = b"x;y;z\n" + b"1,5;2,5;0,001\n" * MOST_ROWS
    assert len(read(content).rows) == MOST_ROWS
    assert refused(content, Shape.POINTS) == (
        "The file has 100000 points; it takes at most 2000. Thin the file."
    )
    assert "at most 100000 are read" in refused(content + b"1;2;3\n", Shape.POINTS)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty"),
        (b" \r\n\n", "is empty"),
        (b"\xef\xbb\xbf", "is empty"),
        (b"# only words\n", "no line with a reading"),
        (b"x;y;z\n", "no line with a number"),
        (b"1" * (MOST_BYTES + 1), "at most 5 MB"),
        (b"1" * 5000, "has 5000 characters"),
        (b"\n" * 200_000 + b"1", "at most 100000 rows"),
        (b"PK\x03\x04rest", "save it as CSV"),
        (b"%PDF-1.7", "is a PDF"),
        (b"1;2\x01;3\n", "Line 1 has characters that are no text"),
        (b"1;2\n3;\xff\x00\x81\n", "no text"),
        (b"1;" * 80 + b"1\n", "has 81 columns"),
    ],
)
def test_what_is_no_list_of_readings_is_said(content: bytes, says: str) -> None:
    assert says in refused(content, Shape.POINTS)


@pytest.mark.parametrize(
    "line",
    [
        "# a:x" + " " * 3900 + "y",
        "a" + " " * 3900 + "(",
        "1" + " " * 3900 + "2",
        "x" + "[" * 3900,
        '"' + '""' * 1900 + '"',
        "1;" * 1900,
        "-" * 3900,
        "1.5e" * 900,
        "a=" * 1900,
    ],
)
def test_no_line_is_long_in_the_reading(line: str) -> None:
    """A pattern that goes back over its own steps would hang here for hours."""
    read_or_refuse((line + "\n").encode() * (5_000_000 // (len(line) + 1)), Shape.POINTS)


# --- what a file says -----------------------------------------------------------------------------------
def test_an_arm_writes_features_units_and_a_serial() -> None:
    content = (
        "# serial: KR 000 123-H7\r\n# unit: mm\r\nElement;X;Y;Z\r\n"
        "Face 1;1,5;2,5;0,1\r\nFace 2;3;4;0\r\nLeft journal;0;0;-700\r\nright;0;0;700,25\r\n"
    ).encode("cp1252")
    found = taken(content, Shape.POINTS, features=FEATURES)
    assert found.unit == "mm"
    assert found.parts == {
        "face": [["1.5", "2.5", "0.1"], ["3", "4", "0"]],
        "left": [["0", "0", "-700"]],
        "right": [["0", "0", "700.25"]],
    }
    assert read(content).serials == ((1, "KR 000 123-H7"),)


def test_names_that_say_nothing_are_asked_about_and_can_be_left_out() -> None:
    content = b"feature,x,y,z\nF1,1.5,2,3\nHome,0,0,0\nB2,1,2,3.5\n"
    assert "Line 2: “F1” is none of face, left, right, bore" in refused(
        content, Shape.POINTS, features=FEATURES
    )
    called = {"F1": "face", "Home": "", "B2": "bore"}
    found = taken(content, Shape.POINTS, features=FEATURES, called=called)
    assert found.parts == {"face": [["1.5", "2", "3"]], "bore": [["1", "2", "3.5"]]}


@pytest.mark.parametrize(
    ("written", "feature"),
    [
        ("FACE", "face"),
        ("Plane 3", "face"),
        ("LH", "left"),
        ("right_journal", "right"),
        ("Pilot bore", "bore"),
        ("P1", None),
        ("", None),
        ("12", None),
    ],
)
def test_a_feature_is_known_by_its_names(written: str, feature: str | None) -> None:
    assert feature_named(written, FEATURES) == feature


def test_an_indicator_is_put_in_the_order_of_the_clock() -> None:
    """Fact of geometry: 12 o'clock is 0°, 3 o'clock 90°."""
    by_degrees = b"deg,reading\n180,0.003\n0,0.001\n270,0.004\n90,0.002\n"
    by_clock = b"clock;reading\n6:00;0,003\n12:00;0,001\n9:00;0,004\n3:00;0,002\n"
    by_hour = b"clock reading\n6 0.003\n12 0.001\n9 0.004\n3 0.002\n"
    expected = [["0.001"], ["0.002"], ["0.003"], ["0.004"]]
    for content in (by_degrees, by_clock, by_hour):
        assert taken(content, Shape.TURN).parts == {"": expected}


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"angle;reading\n0;1\n90;2\n180;3\n90;4\n", "“90” in line 5 is the same place as “90” in line 3"),
        (b"angle;reading\n0;1\n120;2\n240;3\n360;1\n", "“360” in line 5 is the same place as “0” in line 2"),
        (b"angle;reading\n0;1\n90;2\n180;3\n200;4\n", "here 270° is expected, not “200”"),
        (b"angle;reading\n15;1\n105;2\n195;3\n285;4\n", "here 0° is expected, not “15”"),
        (b"angle;reading\n0;1\n900;2\n", "more than one turn"),
        (b"clock;reading\n12:00;1\n3:75;2\n", "“3:75” is no place on a clock"),
    ],
)
def test_a_turn_is_read_once_at_each_place(content: bytes, says: str) -> None:
    assert says in refused(content, Shape.TURN)


def test_holes_come_by_their_numbers_and_once() -> None:
    content = b"Hole,X,Y\nH10,1.5,1\nH2,2,2\nH1,3,3\n"
    assert taken(content, Shape.HOLES).parts == {"": [["3", "3"], ["2", "2"], ["1.5", "1"]]}
    assert "Hole “2” stands twice, in line 2 and line 4" in refused(
        b"hole;x;y\n2;1;1\n1;2;2\n2;1;1", Shape.HOLES
    )


def test_a_pressure_log_keeps_its_temperatures() -> None:
    content = b"Time [min]\tPressure (psi)\tTemp [degF]\n0\t5.00\t70\n5\t4.98\t70.5\n"
    found = taken(content, Shape.LOG)
    assert found.columns == ("minutes", "pressure", "temperature")
    assert found.parts == {"": [["0", "5.00", "70"], ["5", "4.98", "70.5"]]}
    assert (found.temperature_unit, found.pressure_unit, found.unit) == ("F", "psi", "")


@pytest.mark.parametrize(
    ("content", "shape", "says"),
    [
        (b"x[in];y[mm];z[mm]\n1;2;3\n", Shape.POINTS, "Mixed units"),
        (b"# units: mm\nx[in];y[in];z[in]\n1;2;3\n", Shape.POINTS, "Mixed units"),
        (b"x;y;z\n1 in;2 in;3 in\n1 in;2 mm;3 in\n", Shape.POINTS, "Line 3, column “y”: Mixed units"),
        (b"x [cm];y [cm];z [cm]\n1;2;3\n", Shape.POINTS, "Column “x [cm]”: “cm” is not taken"),
        (b"min;bar\n0;1\n", Shape.LOG, "The column pressure cannot be found. The file has: min, bar."),
        (b"x;y\n1;2\n3;4\n", Shape.POINTS, "The column z cannot be found. The file has: x, y."),
        (b"a;b;c\n1;2;3\n", Shape.POINTS, "The columns x, y, z cannot be found. The file has: a, b, c."),
        (b"1;2\n3;4\n", Shape.POINTS, "The file has: column 1, column 2."),
        (b"x;y;z\n1;2\n1;2;3\n4;5;6\n", Shape.POINTS, "Line 2 has 2 values, and there are headings for 3"),
        (b"1;2;3\n4;5;6;7\n8;9;1\n", Shape.POINTS, "Line 2 has 4 values, and the other lines have 3"),
        (b"x;y;z\n1;2;3\n1;;2\n", Shape.POINTS, "Line 3, column “y”: A number is missing"),
        (b"x;y;z\n1;2;3\n1;n/a;2\n", Shape.POINTS, "Line 3, column “y”: “n/a” is no number"),
        (b"x;y;z\n1,234.5;2;3\n1;2;3\n", Shape.POINTS, "Line 2, column “x”: “1,234.5” has a point"),
        (b"x;y;z\n1,5;2;3\n1.5;2;3\n", Shape.POINTS, "Some numbers have a decimal point (“1.5”)"),
        (b"x,y,z\n1,5,2,5,3,5\n", Shape.POINTS, "Line 2 has 6 values, and there are headings for 3"),
        (b'x,y,z\n"1,5,2,3\n', Shape.POINTS, "Line 2"),
        (b"# serial: A\n# unit: psi\nx;y;z\n1;2;3\n", Shape.POINTS, "lengths are in mm or in"),
    ],
)
def test_it_names_the_place_that_it_cannot_read(content: bytes, shape: Shape, says: str) -> None:
    assert says in refused(content, shape)


def test_two_ways_to_read_are_asked_about_and_the_answer_is_taken() -> None:
    content = b"1,25\n1,30\n"
    with pytest.raises(Unreadable) as said:
        read(content)
    assert said.value.question == "decimal"
    assert [row.cells for row in read(content, decimal=",").rows] == [("1,25",), ("1,30",)]
    assert [row.cells for row in read(content, decimal=".").rows] == [("1", "25"), ("1", "30")]


def test_lines_before_the_table_are_left_out_and_named() -> None:
    content = b"Program 7\nOperator Jo\nNo X Y Z\n1 1.0 2.0 3.0\n2 4.0 5.0 6.0\n"
    table = read(content)
    assert table.left_out == (1, 2) and table.names == ("No", "X", "Y", "Z")
    assert taken(content, Shape.POINTS).parts == {"": [["1.0", "2.0", "3.0"], ["4.0", "5.0", "6.0"]]}


def test_headings_may_stand_in_a_comment_and_units_below_them() -> None:
    assert taken(b"# x y z\n1.0 2.0 3.0\n4 5 6\n", Shape.POINTS).columns == ("x", "y", "z")
    found = taken(b"x;y;z\nmm;mm;mm\n1;2;3\n", Shape.POINTS)
    assert found.unit == "mm" and found.count == 1


def test_points_that_are_numbered_need_no_heading() -> None:
    assert taken(b"1;0.5;0.6;0.7\n2;0.8;0.9;1.0\n3;1;2;3\n", Shape.POINTS).parts[""][0] == [
        "0.5",
        "0.6",
        "0.7",
    ]


def test_a_column_of_serials_names_every_housing() -> None:
    table = read(b"serial,x,y\nKR1,1.5,2\nKR1,1,2\nKR2,3,4\n")
    assert table.serials == ((2, "KR1"), (4, "KR2"))
    assert same_serial("kr 000 123-h7", "KR000123H7") and not same_serial("KR000123H8", "KR000123H7")
