"""Writing what pots are judged by. A version that is in use never changes; a change is the next."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from assessments.models import Level, Rubric, RubricCriterion, RubricVersion
from assessments.selectors.rubrics import criteria_in, is_used, newest_version
from studio.errors import Conflict, Refused
from studio.people.audit import record
from studio.people.models import Studio, User
from studio.people.names import tidy, tidy_text
from studio.people.services.checking import check_fields, locked_studio

from .criteria import criteria_called, ensure_criteria
from .rubric_checks import check_criteria
from .shipped_rubric import CRITERIA, POINTS, TITLE


@dataclass(frozen=True)
class LevelWritten:
    points: Decimal
    descriptor: str


@dataclass(frozen=True)
class CriterionWritten:
    """One criterion as a teacher writes it; `evidence` is one of `EvidenceKind`."""

    title: str
    weight: Decimal
    evidence: str
    levels: tuple[LevelWritten, ...]


def ensure_rubric(*, studio: Studio, at: datetime) -> None:
    """The shipped rubric, for a studio that has none."""
    if Rubric.objects.filter(studio=studio).exists():
        return
    with transaction.atomic():
        locked_studio(studio)
        if Rubric.objects.filter(studio=studio).exists():
            return
        ensure_criteria(studio=studio)
        rubric = Rubric.objects.create(studio=studio, title=_(TITLE), created_at=at)
        _write(RubricVersion(rubric=rubric, number=1, at=at), _shipped())


def create_rubric(
    *, studio: Studio, by: User, title: str, criteria: Sequence[CriterionWritten], at: datetime
) -> Rubric:
    """A rubric with its first version."""
    _require(by, studio)
    rubric = Rubric(studio=studio, title=tidy(title), by=by, created_at=at)
    tidied = _tidied(criteria)
    check_criteria(tidied)
    with transaction.atomic():
        locked_studio(studio)
        _check_title(rubric)
        rubric.save(force_insert=True)
        version = _write(RubricVersion(rubric=rubric, number=1, by=by, at=at), tidied)
        _record(rubric, by, "rubric made", {}, _shown(version))
    return rubric


def change_rubric(
    *,
    rubric: Rubric,
    by: User,
    title: str,
    criteria: Sequence[CriterionWritten],
    seen: UUID,
    at: datetime,
) -> RubricVersion:
    """Write the rubric anew. `seen` is the version that the change was made on.

    A version that an assignment has, or by which something was marked, stays as it is, and the
    change is the next one; assignments keep theirs. An unused version is replaced.
    """
    _require(by, rubric.studio)
    tidied = _tidied(criteria)
    check_criteria(tidied)
    with transaction.atomic():
        locked_studio(rubric.studio)
        kept = locked_rubric(rubric)
        newest = newest_version(kept)
        if newest.pk != seen:
            raise Conflict(
                _(
                    "Somebody changed this rubric meanwhile. Open it again, look at version "
                    "%(number)s, and make your change there."
                )
                % {"number": newest.number}
            )
        before = _shown(newest)
        kept.title = tidy(title)
        _check_title(kept)
        kept.save(update_fields=["title"])
        newest.rubric = kept
        version = newest if _same(newest, tidied) else _next(newest, tidied, by, at)
        after = _shown(version)
        if after != before:
            _record(kept, by, "rubric changed", before, after)
    return version


def put_away_rubric(*, rubric: Rubric, by: User) -> None:
    """No longer offered. Assignments that have it go on."""
    _set_archived(rubric, by, archived=True)


def take_out_rubric(*, rubric: Rubric, by: User) -> None:
    """Offered again."""
    _set_archived(rubric, by, archived=False)


def locked_rubric(rubric: Rubric) -> Rubric:
    """Its versions are written and chosen one after the other."""
    rubrics = Rubric.objects.select_related("studio")
    return rubrics.select_for_update(of=("self",)).get(pk=rubric.pk)


def _set_archived(rubric: Rubric, by: User, *, archived: bool) -> None:
    _require(by, rubric.studio)
    with transaction.atomic():
        locked_studio(rubric.studio)
        kept = locked_rubric(rubric)
        if kept.archived == archived:
            return
        others = Rubric.objects.filter(studio=kept.studio, archived=False).exclude(pk=kept.pk)
        if archived and not others.exists():
            raise Refused(_("One rubric has to stay. Write another before this one goes."))
        kept.archived = archived
        kept.save(update_fields=["archived"])
        _record(kept, by, "rubric put away" if archived else "rubric taken out", {}, {})


def _require(by: User, studio: Studio) -> None:
    if not by.teaches or by.studio_id != studio.pk:
        raise PermissionDenied


def _check_title(rubric: Rubric) -> None:
    check_fields(rubric)
    same = Rubric.objects.filter(studio=rubric.studio, title__iexact=rubric.title)
    if same.exclude(pk=rubric.pk).exists():
        message = _("The studio has a rubric “%(title)s” already. Choose another title.")
        raise Refused(message % {"title": rubric.title}, field="title")


def _next(
    newest: RubricVersion, criteria: Sequence[CriterionWritten], by: User, at: datetime
) -> RubricVersion:
    number = newest.number
    if is_used(newest):
        number += 1
    else:
        newest.delete()
    rubric = newest.rubric
    return _write(RubricVersion(rubric=rubric, number=number, by=by, at=at), criteria)


def _write(version: RubricVersion, criteria: Sequence[CriterionWritten]) -> RubricVersion:
    version.save(force_insert=True)
    studio = version.rubric.studio
    called = criteria_called(studio=studio, titles=[each.title for each in criteria])
    rows = [
        RubricCriterion(
            version=version,
            criterion=criterion,
            position=place,
            weight=each.weight,
            evidence=each.evidence,
        )
        for place, (criterion, each) in enumerate(zip(called, criteria, strict=True), start=1)
    ]
    RubricCriterion.objects.bulk_create(rows)
    Level.objects.bulk_create(
        Level(criterion=row, points=level.points, descriptor=level.descriptor)
        for row, each in zip(rows, criteria, strict=True)
        for level in each.levels
    )
    return version


def _tidied(criteria: Sequence[CriterionWritten]) -> list[CriterionWritten]:
    return [
        CriterionWritten(
            title=tidy(each.title),
            weight=each.weight,
            evidence=each.evidence,
            levels=tuple(
                LevelWritten(level.points, tidy_text(level.descriptor)) for level in each.levels
            ),
        )
        for each in criteria
    ]


def _shipped() -> list[CriterionWritten]:
    return [
        CriterionWritten(
            title=_(each.title),
            weight=Decimal(1),
            evidence=each.evidence,
            levels=tuple(
                LevelWritten(points, _(text))
                for points, text in zip(POINTS, each.descriptors, strict=True)
            ),
        )
        for each in CRITERIA
    ]


def _same(version: RubricVersion, criteria: Sequence[CriterionWritten]) -> bool:
    return written_in(version) == [
        CriterionWritten(
            each.title,
            each.weight,
            each.evidence,
            tuple(sorted(each.levels, key=lambda level: level.points)),
        )
        for each in criteria
    ]


def written_in(version: RubricVersion) -> list[CriterionWritten]:
    """A version as it would be written, the lowest level first."""
    return [
        CriterionWritten(
            each.title,
            each.weight,
            each.evidence,
            tuple(LevelWritten(level.points, level.descriptor) for level in each.levels),
        )
        for each in criteria_in([version.pk])[version.pk]
    ]


def _shown(version: RubricVersion) -> dict[str, Any]:
    """For the audit line."""
    return {
        "title": version.rubric.title,
        "version": version.number,
        "criteria": [
            {
                "title": each.title,
                "weight": f"{each.weight.normalize():f}",
                "evidence": each.evidence,
                "levels": {
                    f"{level.points.normalize():f}": level.descriptor for level in each.levels
                },
            }
            for each in written_in(version)
        ],
    }


def _record(
    rubric: Rubric, by: User, action: str, before: dict[str, Any], after: dict[str, Any]
) -> None:
    record(studio=rubric.studio, by=by, action=action, subject=rubric, before=before, after=after)
