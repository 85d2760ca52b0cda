"""Marking a piece: one marking for each marker, and nobody's typing lost."""

from collections.abc import Collection, Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from assessments.models import MarkedLevel, Marking, RubricVersion
from assessments.selectors.exemptions import exempt_criteria
from assessments.selectors.rubrics import CriterionSeen, criteria_in
from planning.models import Assignment, Piece
from planning.services.drawings import locked_piece
from studio.errors import Conflict, Problem, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.people.names import tidy, tidy_text
from studio.people.services.checking import check_fields
from studio.web.shown import clock_text

from .choosing_rubric import begin_rubric

Levels = Mapping[UUID, UUID | None]
Wanted = dict[UUID, tuple[UUID | None, str]]


def save_marking(
    *,
    piece: Piece,
    marker: User,
    levels: Levels,
    notes: Mapping[UUID, str],
    comment: str,
    edition: int,
    by: User,
    at: datetime,
    beside: Collection[UUID] = (),
) -> Marking:
    """Keep all of a marking: level and note by criterion of the version; what isn't named is open.

    `edition` is the one that was on the page, 0 for none yet; another one is a `Conflict`, unless
    it says the same. Who begins names in `beside` the markers who mark the piece too, so that
    two people don't mark the same pot without knowing of each other. A marking is its marker's own.
    """
    if by.pk != marker.pk or not Piece.objects.taught_by(by).filter(pk=piece.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        kept, version = _begun(piece, marker, by, at)
        criteria = criteria_in([version.pk])[version.pk]
        exempt = _exempt(piece, criteria)
        wanted = _wanted(criteria, exempt, levels, notes)
        before = _levels_of(kept, exempt)
        new = kept or Marking(piece=piece, marker=marker, version=version, edition=0)
        unchanged = (before, new.comment) == (wanted, tidy_text(comment))
        if kept is not None and unchanged:
            return kept
        _check_edition(kept, edition)
        if kept is None:
            _check_alone(piece, marker, beside)
        new.comment, new.changed_at = tidy_text(comment), at
        new.edition += 1
        check_fields(new)
        new.save()
        _keep_levels(new, wanted, exempt)
        _record(new, criteria, before, wanted, by)
    return new


def _begun(
    piece: Piece, marker: User, by: User, at: datetime
) -> tuple[Marking | None, RubricVersion]:
    """The marker's marking and the version that the piece is marked by, both held."""
    # The assignment first: nobody chooses another rubric for it just now.
    held = Assignment.objects.select_for_update(of=("self",)).select_related("section__studio")
    assignment = held.filter(pieces=piece.pk).first()
    here = Marking.objects.filter(piece=piece).order_by("changed_at")
    version = None
    if assignment is not None and not here.exists():
        version = begin_rubric(assignment=assignment, by=by, at=at)
    locked_piece(piece)
    there = list(here.select_for_update(of=("self",)).select_related("version__rubric"))
    if version is None:
        version = there[0].version
    return next((each for each in there if each.marker_id == marker.pk), None), version


def _wanted(
    criteria: list[CriterionSeen],
    exempt: set[UUID],
    levels: Levels,
    notes: Mapping[UUID, str],
) -> Wanted:
    known = {each.pk: {level.pk for level in each.levels} for each in criteria}
    problems = [
        Problem(_("This criterion is not in the rubric of this pot. Load the page again."), f"{pk}")
        for pk in {**levels, **notes}
        if pk not in known
    ]
    found: Wanted = {}
    most = MarkedLevel._meta.get_field("note").max_length or 0
    for each in criteria:
        level, note = levels.get(each.pk), tidy(notes.get(each.pk, ""))
        if level is not None and level not in known[each.pk]:
            message = _("This level is not in the rubric of this pot. Load the page again.")
            problems.append(Problem(message, f"{each.pk}"))
        if each.pk in exempt and (level is not None or note):
            message = _("The student is exempt from “%(title)s”; it isn't judged.")
            problems.append(Problem(message % {"title": each.title}, f"{each.pk}"))
        if len(note) > most:
            message = _("This note is too long. Shorten it to %(most)s characters.")
            problems.append(Problem(message % {"most": most}, f"{each.pk}"))
        if level is not None or note:
            found[each.pk] = (level, note)
    if problems:
        raise Refused.all_of(problems)
    return found


def _exempt(piece: Piece, criteria: list[CriterionSeen]) -> set[UUID]:
    # Read anew: the piece may have moved to another class since the page was opened.
    fresh = Piece.objects.select_related("assignment").get(pk=piece.pk)
    left_out = exempt_criteria([fresh])[fresh.pk]
    return {each.pk for each in criteria if each.criterion in left_out}


def _levels_of(marking: Marking | None, exempt: set[UUID]) -> Wanted:
    """What is kept; levels from before an exemption stay kept and out of sight."""
    if marking is None:
        return {}
    rows = MarkedLevel.objects.filter(marking=marking).exclude(criterion__in=exempt)
    return {row.criterion_id: (row.level_id, row.note) for row in rows}


def _check_edition(kept: Marking | None, edition: int) -> None:
    if kept is not None and kept.edition != edition:
        raise Conflict(
            _(
                "This marking was changed at %(time)s, perhaps in another window. What you typed "
                "is still here and not kept yet: compare it with what was kept, then keep it "
                "again."
            )
            % {"time": clock_text(kept.changed_at)}
        )
    if kept is None and edition:
        raise Conflict(
            _("This marking is not there any more. What you typed is still here: keep it again.")
        )


def _check_alone(piece: Piece, marker: User, beside: Collection[UUID]) -> None:
    others = Marking.objects.filter(piece=piece).exclude(marker=marker).exclude(marker__in=beside)
    other = others.exclude(levels__isnull=True, comment="").select_related("marker").first()
    if other is not None:
        raise Conflict(
            _(
                "%(name)s has begun to mark this pot, at %(time)s. What you typed is still here "
                "and not kept yet: keep it again if you want to mark it too, each on your own."
            )
            % {"name": other.marker.name, "time": clock_text(other.changed_at)}
        )


def _keep_levels(marking: Marking, wanted: Wanted, exempt: set[UUID]) -> None:
    there = {
        row.criterion_id: row
        for row in MarkedLevel.objects.filter(marking=marking).exclude(criterion__in=exempt)
    }
    gone = [row.pk for pk, row in there.items() if pk not in wanted]
    MarkedLevel.objects.filter(pk__in=gone).delete()
    for pk, (level, note) in wanted.items():
        row = there.get(pk) or MarkedLevel(marking=marking, criterion_id=pk)
        if row.pk is None or (row.level_id, row.note) != (level, note):
            row.level_id, row.note = level, note
            row.save()


def _record(
    marking: Marking, criteria: list[CriterionSeen], before: Wanted, after: Wanted, by: User
) -> None:
    """Points by criterion. Texts are no part of it, so that erasing a person leaves none here."""
    record(
        studio=marking.piece.studio,
        by=by,
        action="marking changed" if before or marking.edition > 1 else "marking begun",
        subject=marking,
        before={"edition": marking.edition - 1, "points": _points(criteria, before)},
        after={"edition": marking.edition, "points": _points(criteria, after)},
    )


def _points(criteria: list[CriterionSeen], levels: Wanted) -> dict[str, Any]:
    worth = {level.pk: level.points for each in criteria for level in each.levels}
    return {
        each.title: f"{worth[level].normalize():f}"
        for each in criteria
        if (level := levels.get(each.pk, (None, ""))[0]) is not None
    }
