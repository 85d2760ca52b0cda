"""Marks as they are printed: plain values for the sheets."""

from collections import Counter
from collections.abc import Mapping, Sequence
from decimal import Decimal
from uuid import UUID

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from assessments.models import Result
from assessments.sheets.mark_sheet import CriterionKey, MarkSheet, StudentLine
from assessments.sheets.report import CriterionLine, Report
from planning.models import Assignment
from studio.people.models import User
from studio.ware.models import Pot
from studio.ware.selectors import looks_of, pots_of
from studio.web.shown import day_text

from .evidence import Evidence
from .marks import PieceMarks
from .results import points_of_most, why_open
from .rubrics import CriterionSeen
from .wording import points_text, state_text, total_text

DASH = "–"
LETTERS = "ABCDEFGHIJKL"


def mark_sheet_of(
    assignment: Assignment, marks: Sequence[PieceMarks], person: User, *, footer: str
) -> MarkSheet:
    """What is released, else what the person would release."""
    # What most are judged by; a piece that moved here may bring other criteria.
    counted = Counter(each.criteria for each in marks).most_common(1)
    criteria = counted[0][0] if counted else ()
    released = sum(1 for each in marks if each.result is not None)
    words = {"pots": len(marks), "released": released}
    return MarkSheet(
        title=_("Mark sheet"),
        subtitle=f"{assignment.section.title} · {assignment.title}",
        footer=footer,
        rubric=_("What the letters stand for"),
        criteria=[_key(place, each) for place, each in enumerate(criteria)],
        students=[_line(each, criteria, person) for each in marks],
        summary=_("%(pots)s pots, %(released)s of them released. For the teacher, not for a wall.")
        % words,
    )


def _key(place: int, criterion: CriterionSeen) -> CriterionKey:
    return CriterionKey(
        letter=LETTERS[place],
        title=criterion.title,
        weight=points_text(criterion.weight),
        levels=[(points_text(each.points), each.descriptor) for each in criterion.levels[::-1]],
    )


def _line(marks: PieceMarks, criteria: Sequence[CriterionSeen], person: User) -> StudentLine:
    result, marking = marks.result, marks.to_release(person)
    points: dict[str, str] = {}
    if result is not None:
        points = {each["criterion"]: _level_points(each) for each in result.levels}
        total = points_text(result.score) if result.score is not None else DASH
    else:
        given = marking.given if marking else {}
        for each in marks.criteria:
            got = given.get(each.pk)
            points[each.title] = points_text(got.level.points) if got and got.level else DASH
            if each.pk in marks.exempt:
                points[each.title] = _("exempt")
        found = marks.score_of(marking).total
        total = points_text(found) if found is not None else DASH
    return StudentLine(
        name=marks.piece.student.name,
        code=marks.piece.code,
        points=[points.get(each.title, DASH) for each in criteria],
        total=total,
        state=_("released") if result is not None else state_text(marks, person),
    )


def _level_points(level: dict[str, str | None]) -> str:
    """The points of a frozen level, or why there are none."""
    if level["exempt"]:
        return _("exempt")
    points = level["points"]
    return points_text(Decimal(points)) if points else DASH


def reports_of(results: Sequence[Result], *, footer: str) -> list[Report]:
    """What students read, on paper; the results' piece, student and assignment are loaded."""
    pots = pots_of([result.piece for result in results])
    looks = looks_of(list(pots.values()))
    return [_report(result, pots.get(result.piece_id), looks, footer) for result in results]


def _report(result: Result, pot: Pot | None, looks: Mapping[UUID, str], footer: str) -> Report:
    piece = result.piece
    evidence = [Evidence.from_json(each) for each in result.evidence["criteria"]]
    day = day_text(result.released_at.astimezone(piece.studio.zone).date())
    return Report(
        name=piece.student.name,
        code=pot.code if pot else piece.code,
        subtitle=_("%(section)s · %(title)s · released %(day)s")
        % {"section": piece.assignment.section.title, "title": piece.assignment.title, "day": day},
        total=total_text(result.score, result.most),
        reason=result.reason,
        criteria=[
            CriterionLine(
                title=capfirst(level["criterion"]),
                points=points_of_most(level) or DASH,
                descriptor=level["descriptor"] or why_open(level),
                note=level["note"],
                evidence=seen.sentences,
            )
            for level, seen in zip(result.levels, evidence, strict=True)
        ],
        comment=result.comment,
        lost=result.evidence["lost"],
        silhouette=next((each.silhouette for each in evidence if each.silhouette), ()),
        stage=looks[pot.pk] if pot else "planned",
        footer=footer,
    )
