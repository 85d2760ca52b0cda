"""Which version an assignment is marked by."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from assessments.models import AssignmentRubric, Marking, RubricVersion
from assessments.selectors.rubrics import default_version
from planning.models import Assignment
from planning.services.assignments import locked_assignment
from studio.errors import Refused
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import User

from .rubrics import ensure_rubric, locked_rubric


def choose_rubric(
    *, assignment: Assignment, version: RubricVersion, by: User, at: datetime
) -> AssignmentRubric:
    """Mark the assignment by this version from now on, while nothing of it is marked."""
    require_class(by, assignment.section)
    with transaction.atomic():
        kept = locked_assignment(assignment)
        row = AssignmentRubric.objects.filter(assignment=kept).first()
        if row is not None and row.version_id == version.pk:
            return row
        rubric = locked_rubric(version.rubric)
        # Looked for again: an unused version is replaced when its rubric is changed.
        chosen = rubric.versions.filter(pk=version.pk).first()
        if chosen is None or rubric.studio_id != kept.section.studio_id or rubric.archived:
            raise Refused(_("This rubric is not on the list any more. Choose one that is."))
        _check_unmarked(kept)
        return _set(kept, row, chosen, by, at)


def begin_rubric(*, assignment: Assignment, by: User, at: datetime) -> RubricVersion:
    """The version that the assignment has; where none was chosen, the first rubric's newest.

    Hold the assignment's lock.
    """
    row = AssignmentRubric.objects.select_related("version__rubric").filter(assignment=assignment)
    if (found := row.first()) is not None:
        return found.version
    studio = assignment.section.studio
    ensure_rubric(studio=studio, at=at)
    version = default_version(studio)
    assert version is not None  # noqa: S101 -- one rubric always stays
    # Its lock, so that the version isn't replaced just now.
    locked_rubric(version.rubric)
    version = version.rubric.versions.select_related("rubric").latest("number")
    return _set(assignment, None, version, by, at).version


def _check_unmarked(assignment: Assignment) -> None:
    of_class = Marking.objects.filter(piece__assignment=assignment).order_by()
    begun = of_class.exclude(levels__isnull=True, comment="", results__isnull=True)
    if begun.exists():
        raise Refused(
            _(
                "Pots of this class are marked already. They keep their rubric, so that nobody's "
                "marks change behind them."
            ),
            field="version",
        )
    of_class.delete()  # opened and left empty


def _set(
    assignment: Assignment,
    row: AssignmentRubric | None,
    version: RubricVersion,
    by: User,
    at: datetime,
) -> AssignmentRubric:
    row = row or AssignmentRubric(assignment=assignment)
    before = {"version": str(row.version_id)} if row.version_id else {}
    row.version, row.by, row.at = version, by, at
    row.save()
    record(
        studio=assignment.section.studio,
        by=by,
        action="rubric chosen",
        subject=assignment,
        before=before,
        after={"version": str(version.pk)},
    )
    return row
