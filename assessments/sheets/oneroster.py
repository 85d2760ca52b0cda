"""Results for a school's gradebook as OneRoster 1.1 (1EdTech), CSV binding, bulk.

One zip with its files at the root. Columns stand in the order of the binding; `status` and
`dateLastModified` are empty in bulk. Class and students go by the ids that the school's own roster
gave them. We keep no grading periods: that column is what the teacher types, or empty.
"""

import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from .cells import csv_text, safe

ZIP_DAY = (2000, 1, 1, 0, 0, 0)
FILES = (
    "academicSessions",
    "categories",
    "classResources",
    "classes",
    "courseResources",
    "courses",
    "demographics",
    "enrollments",
    "lineItems",
    "orgs",
    "resources",
    "results",
    "users",
)
CATEGORY_COLUMNS = ("sourcedId", "status", "dateLastModified", "title")
LINE_ITEM_COLUMNS = (
    "sourcedId",
    "status",
    "dateLastModified",
    "title",
    "description",
    "assignDate",
    "dueDate",
    "classSourcedId",
    "categorySourcedId",
    "gradingPeriodSourcedId",
    "resultValueMin",
    "resultValueMax",
)
RESULT_COLUMNS = (
    "sourcedId",
    "status",
    "dateLastModified",
    "lineItemSourcedId",
    "studentSourcedId",
    "scoreStatus",
    "score",
    "scoreDate",
    "comment",
)


@dataclass(frozen=True)
class LineItem:
    """What was marked: one assignment of one class, and its category."""

    sourced_id: str
    title: str
    description: str
    assigned_on: date
    due_on: date
    class_id: str
    category_id: str
    category: str
    grading_period_id: str
    most: Decimal


@dataclass(frozen=True)
class StudentResult:
    """`status` is one of the binding's: fully graded, partially graded, exempt, submitted or
    not submitted. `score` is None unless it is fully graded.
    """

    sourced_id: str
    student_id: str
    status: str
    score: Decimal | None
    on: date


def results_bundle(item: LineItem, results: Sequence[StudentResult]) -> bytes:
    """The zip. The same values give the same bytes."""
    files = {
        "manifest.csv": _manifest(),
        "categories.csv": csv_text(
            CATEGORY_COLUMNS, [(item.category_id, "", "", safe(item.category))]
        ),
        "lineItems.csv": csv_text(LINE_ITEM_COLUMNS, [_line_item(item)]),
        "results.csv": csv_text(RESULT_COLUMNS, [_result(item, each) for each in results]),
    }
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as bundle:
        for name, text in files.items():
            bundle.writestr(zipfile.ZipInfo(name, ZIP_DAY), text.encode())
    return out.getvalue()


def _manifest() -> str:
    here = {"categories", "lineItems", "results"}
    rows = [
        ("manifest.version", "1.0"),
        ("oneroster.version", "1.1"),
        *((f"file.{name}", "bulk" if name in here else "absent") for name in FILES),
        ("source.systemName", "Coilcourse"),
        ("source.systemCode", "coilcourse"),
    ]
    return csv_text(("propertyName", "value"), rows)


def _line_item(item: LineItem) -> tuple[str, ...]:
    return (
        item.sourced_id,
        "",
        "",
        safe(item.title),
        safe(item.description),
        item.assigned_on.isoformat(),
        item.due_on.isoformat(),
        item.class_id,
        item.category_id,
        item.grading_period_id,
        "0",
        str(item.most),
    )


def _result(item: LineItem, result: StudentResult) -> tuple[str, ...]:
    return (
        result.sourced_id,
        "",
        "",
        item.sourced_id,
        result.student_id,
        result.status,
        "" if result.score is None else str(result.score),
        result.on.isoformat(),
        "",  # what is written to the student stays here
    )
