"""What leaves the service about the marks of a class, as plain values."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import uuid5

from django.utils.translation import gettext as _

from assessments.models import Result
from assessments.scoring.score import scaled
from assessments.sheets.marks_csv import CriterionMark, StudentMarks
from assessments.sheets.oneroster import LineItem, StudentResult
from planning.models import Assignment, Thumbnail
from studio.people.models import User

from .marks import MarkingSeen, PieceMarks
from .rubrics import CriterionSeen, most_points

MOST_DESCRIPTION = 200


def csv_titles(marks: Sequence[PieceMarks]) -> list[str]:
    """The criteria of the class, in order; a piece that moved here may bring others."""
    titles: list[str] = []
    for each in marks:
        titles += [one.title for one in each.criteria if one.title not in titles]
    return titles


def csv_rows(
    marks: Sequence[PieceMarks], titles: Sequence[str], person: User
) -> list[StudentMarks]:
    """What is released, else what the person would release."""
    return [_csv_row(each, titles, person) for each in marks]


def _csv_row(marks: PieceMarks, titles: Sequence[str], person: User) -> StudentMarks:
    result, marking = marks.result, marks.to_release(person)
    if result is not None:
        marking = next((each for each in marks.markings if each.pk == result.marking_id), None)
        cells = {each["criterion"]: _released_cell(marks, each) for each in result.levels}
        total, most = result.score, result.most
        still_open = sum(
            1 for each in result.levels if each["points"] is None and not each["exempt"]
        )
    else:
        cells = {each.title: _cell(marks, each, marking) for each in marks.criteria}
        found = marks.score_of(marking)
        total, most, still_open = found.total, found.most, found.open
    student = marks.piece.student
    return StudentMarks(
        family_name=student.family_name,
        given_name=student.given_name or student.username,
        code=marks.piece.code,
        criteria=[cells.get(title, CriterionMark("", "")) for title in titles],
        total="" if total is None else _plain(total),
        most=_plain(most),
        open=str(still_open),
        marker=marking.marker_name if marking else "",
        released=_day(result) if result is not None else "",
    )


def _cell(
    marks: PieceMarks, criterion: CriterionSeen, marking: MarkingSeen | None
) -> CriterionMark:
    if criterion.pk in marks.exempt:
        return CriterionMark("", _("exempt"))
    given = marking.given.get(criterion.pk) if marking else None
    if given is None or given.level is None:
        return CriterionMark("", "")
    return CriterionMark(str(given.level.digit), _plain(given.level.points))


def _released_cell(marks: PieceMarks, level: dict[str, object]) -> CriterionMark:
    if level["exempt"]:
        return CriterionMark("", _("exempt"))
    if level["points"] is None:
        return CriterionMark("", "")
    points = Decimal(str(level["points"]))
    digits = {
        one.points: one.digit
        for each in marks.criteria
        if each.title == level["criterion"]
        for one in each.levels
    }
    return CriterionMark(str(digits.get(points, "")), _plain(points))


def _plain(value: Decimal) -> str:
    """As a program reads it: `12.5`."""
    return f"{value.normalize():f}"


def _day(result: Result) -> str:
    return result.released_at.astimezone(result.piece.studio.zone).date().isoformat()


@dataclass(frozen=True)
class GradebookResults:
    """For the school's gradebook. `left_out` are students whom its roster doesn't know;
    `class_unknown` that it doesn't know the class: then nothing can be sent.
    """

    item: LineItem
    results: list[StudentResult]
    left_out: list[User]
    class_unknown: bool


def gradebook_results(
    assignment: Assignment,
    marks: Sequence[PieceMarks],
    *,
    today: date,
    grading_period_id: str = "",
) -> GradebookResults:
    """Released results only; what is marked but not released is 'submitted'.

    Everybody's score is of the same most points: that of a student who is exempt from something
    keeps its share.
    """
    drawn = set(
        Thumbnail.objects.standing()
        .filter(piece__in=[each.piece.pk for each in marks])
        .order_by()
        .values_list("piece", flat=True)
    )
    most = max((most_points(each.criteria) for each in marks), default=Decimal(0))
    known = [each for each in marks if each.piece.student.sourced_id]
    return GradebookResults(
        item=_line_item(assignment, most, grading_period_id),
        results=[_student_result(each, most, today, each.piece.pk in drawn) for each in known],
        left_out=[each.piece.student for each in marks if not each.piece.student.sourced_id],
        class_unknown=not assignment.section.sourced_id,
    )


def _line_item(assignment: Assignment, most: Decimal, grading_period_id: str) -> LineItem:
    return LineItem(
        sourced_id=str(assignment.pk),
        title=assignment.title,
        description=" ".join(assignment.what_to_make.split())[:MOST_DESCRIPTION],
        assigned_on=assignment.given_on,
        due_on=assignment.due_on,
        class_id=assignment.section.sourced_id,
        category_id=str(uuid5(assignment.section.studio_id, "coil pots")),
        category=_("Coil pots"),
        grading_period_id=grading_period_id,
        most=most,
    )


def _student_result(
    marks: PieceMarks, most: Decimal, today: date, handed_in: bool
) -> StudentResult:
    piece, result = marks.piece, marks.result
    score, on = None, today
    if result is not None:
        on = result.released_at.astimezone(piece.studio.zone).date()
        if all(each["exempt"] for each in result.levels):
            status = "exempt"
        elif result.score is None:
            status = "partially graded"
        else:
            status = "fully graded"
            score = scaled(result.score, most=result.most, to=most)
    elif marks.criteria and not marks.judged:
        status = "exempt"
    else:
        status = "submitted" if handed_in else "not submitted"
    return StudentResult(str(piece.pk), piece.student.sourced_id, status, score, on)
