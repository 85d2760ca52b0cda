"""Files that leave: the columns of the standard, and no cell that a spreadsheet would run."""

import csv
import io
import zipfile
from datetime import date
from decimal import Decimal

import pytest

from assessments.sheets.cells import safe
from assessments.sheets.marks_csv import CriterionMark, StudentMarks, marks_csv
from assessments.sheets.oneroster import (
    FILES,
    LINE_ITEM_COLUMNS,
    RESULT_COLUMNS,
    LineItem,
    StudentResult,
    results_bundle,
)

# Column order of the CSV binding 1.1 as published in the source of the R package delabj/oneRoster,
# where results ended otherwise; the end of results (scoreDate,comment) and categories are from
# memory.
LINE_ITEMS = (
    "sourcedId,status,dateLastModified,title,description,assignDate,dueDate,classSourcedId,"
    "categorySourcedId,gradingPeriodSourcedId,resultValueMin,resultValueMax"
)
RESULTS = (
    "sourcedId,status,dateLastModified,lineItemSourcedId,studentSourcedId,scoreStatus,score,"
    "scoreDate,comment"
)
CATEGORIES = "sourcedId,status,dateLastModified,title"

ITEM = LineItem(
    sourced_id="a-1",
    title="=cmd",
    description="A pot, “made” of coils",
    assigned_on=date(2026, 3, 9),
    due_on=date(2026, 5, 13),
    class_id="P3",
    category_id="c-1",
    category="Coil pots",
    grading_period_id="",
    most=Decimal("16.00"),
)
ROWS = [
    StudentResult("p-1", "9041", "fully graded", Decimal("12.50"), date(2026, 5, 20)),
    StudentResult("p-2", "9042", "not submitted", None, date(2026, 5, 21)),
]


def files(bundle: bytes) -> dict[str, list[list[str]]]:
    with zipfile.ZipFile(io.BytesIO(bundle)) as opened:
        return {
            name: list(csv.reader(io.StringIO(opened.read(name).decode(), newline="")))
            for name in opened.namelist()
        }


def test_the_bundle_has_its_files_at_the_root_with_the_columns_in_order() -> None:
    found = files(results_bundle(ITEM, ROWS))
    assert list(found) == ["manifest.csv", "categories.csv", "lineItems.csv", "results.csv"]
    assert ",".join(found["lineItems.csv"][0]) == LINE_ITEMS == ",".join(LINE_ITEM_COLUMNS)
    assert ",".join(found["results.csv"][0]) == RESULTS == ",".join(RESULT_COLUMNS)
    assert ",".join(found["categories.csv"][0]) == CATEGORIES


def test_the_manifest_says_what_is_there_and_what_is_absent() -> None:
    """propertyName,value; manifest.version 1.0; file.<name> = absent, bulk or delta (published in
    the same source).
    """
    [header, *rows] = files(results_bundle(ITEM, ROWS))["manifest.csv"]
    said = dict(rows)
    assert header == ["propertyName", "value"]
    assert (said["manifest.version"], said["oneroster.version"]) == ("1.0", "1.1")
    listed = {name: said[f"file.{name}"] for name in FILES}
    bulk = {name for name, how in listed.items() if how == "bulk"}
    assert bulk == {"categories", "lineItems", "results"}
    assert set(listed.values()) == {"bulk", "absent"}
    # The files of 1.1 besides the manifest, in the order in which that source lists them.
    assert ",".join(FILES) == (
        "academicSessions,categories,classResources,classes,courseResources,courses,demographics,"
        "enrollments,lineItems,orgs,resources,results,users"
    )


def test_status_and_date_are_empty_in_bulk_and_ids_are_as_the_school_gave_them() -> None:
    found = files(results_bundle(ITEM, ROWS))
    [_header, item] = found["lineItems.csv"]
    assert item == [
        *("a-1", "", "", "'=cmd", "A pot, “made” of coils", "2026-03-09", "2026-05-13"),
        *("P3", "c-1", "", "0", "16.00"),
    ]
    assert found["results.csv"][1:] == [
        ["p-1", "", "", "a-1", "9041", "fully graded", "12.50", "2026-05-20", ""],
        ["p-2", "", "", "a-1", "9042", "not submitted", "", "2026-05-21", ""],
    ]


def test_the_same_results_make_the_same_bytes() -> None:
    assert results_bundle(ITEM, ROWS) == results_bundle(ITEM, ROWS)


@pytest.mark.parametrize("cell", ["=1+1", "+49", "-2", "@SUM(A1)", "\tx", "\rx"])
def test_a_cell_that_would_be_worked_out_is_escaped(cell: str) -> None:
    assert safe(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["", "Ode", "1-2", "a=b", " =1"])
def test_other_cells_stay_as_they_are(cell: str) -> None:
    assert safe(cell) == cell


def test_marks_are_a_table_in_utf_8_with_a_header() -> None:
    row = StudentMarks(
        family_name="=Ångström",
        given_name="Zoë, “Zo”",
        code="K7-3F",
        criteria=[CriterionMark("3", "3"), CriterionMark("", "")],
        total="",
        most="8",
        open="1",
        marker="Tomas Lindqvist",
        released="",
    )
    content = marks_csv(["silhouette control", "@rim"], [row])
    text = content.decode("utf-8-sig")
    assert content.startswith(b"\xef\xbb\xbf")
    assert text.count("\r\n") == 2
    assert list(csv.reader(io.StringIO(text, newline=""))) == [
        [
            *("Family name", "Given name", "Code", "silhouette control: level"),
            *("silhouette control: points", "'@rim: level", "'@rim: points"),
            *("Total", "Of", "Open criteria", "Marked by", "Released on"),
        ],
        [
            *("'=Ångström", "Zoë, “Zo”", "K7-3F", "3", "3", "", ""),
            *("", "8", "1", "Tomas Lindqvist", ""),
        ],
    ]
