"""Drawings of two students that may be one drawing, looked for when a teacher of both asks.

What is found stands in the job's result for a week, by the drawings' ids, and only whoever asked
reads it: `planning.selectors.side_by_side` shows what they may still see.
"""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Final
from uuid import UUID

import numpy as np
from django.utils.translation import gettext as _

from planning.exploration.poses import Singles
from planning.exploration.side_by_side import MOST_PAIRS, near_pairs, row_of, rows_of, same_drawings
from planning.exploration.silhouette import Drawn
from planning.models import Assignment, DrawnForm, Thumbnail
from planning.selectors.side_by_side import KIND, forms_in, key_of, together
from studio.errors import Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.work import Work
from studio.people.access import require_class
from studio.people.models import User

MOST_DRAWINGS: Final = 12_000
"""Of all classes together; the class that is asked for comes first, then the newest."""

MOST_SHOWN: Final = 200
_SIGN_OF_LIFE: Final = 100
_ROWS, _NEAR = 60, 70  # per cent: all drawings made small, the near ones found
_GONE: Final = Drawn(np.full((8, 8), 255, np.uint8), np.full((8, 8), 255, np.uint8))


def ask_for_pairs(*, assignment: Assignment, by: User, at: datetime) -> Job:
    """Have the drawings of a class compared with each other and with those of the other classes
    with this brief that `by` teaches."""
    require_class(by, assignment.section)
    if not assignment.ideas_counted:
        raise Refused(_("Drawings are not compared in this class."))
    return ask_for(
        kind=KIND,
        studio=assignment.section.studio,
        by=by,
        subjects=[assignment.pk],
        unique_key=key_of(assignment, by),
        at=at,
    )


@dataclass
class _Small:
    """Every drawing as numbers, those of the class that is asked for first."""

    ids: list[UUID] = field(default_factory=list)
    whose: list[UUID] = field(default_factory=list)
    every: list[Singles] = field(default_factory=list)
    here: list[Singles] = field(default_factory=list)


def look_for_pairs(work: Work) -> None:
    """Outside any transaction; it takes about a minute for twelve classes."""
    asked = Assignment.objects.filter(pk__in=work.job.subjects).first()
    if asked is None:  # taken back meanwhile
        return
    small = _all_small(work, asked)
    near = near_pairs(small.here, np.array(small.every), small.whose) if small.here else []
    work.progress(_NEAR)
    pairs = []
    for number, pair in enumerate(same_drawings(near, lambda place: _drawn(small.ids[place]))):
        if number % _SIGN_OF_LIFE == 0:
            work.progress(_NEAR + (100 - _NEAR) * number // len(near))
        if pair is not None:
            pairs.append(pair)
    pairs.sort(key=lambda pair: -pair.alike)
    told = [[str(small.ids[pair.one]), str(small.ids[pair.other])] for pair in pairs[:MOST_SHOWN]]
    looked = {
        "drawings": len(small.ids),
        "all": len(near) < MOST_PAIRS and len(pairs) <= MOST_SHOWN,
    }
    with work.finishing({"pairs": told, **looked}):
        pass


def _all_small(work: Work, asked: Assignment) -> _Small:
    small = _Small()
    others = together(asked, work.job.by).exclude(pk=asked.pk).order_by("-given_on", "pk")
    for assignment in (asked, *others):
        rows = forms_in(assignment)[: MOST_DRAWINGS - len(small.ids)]
        for number, (pk, student) in enumerate(rows):
            if number % _SIGN_OF_LIFE == 0:
                work.progress(_ROWS * len(small.ids) // MOST_DRAWINGS)
            drawn = _drawn(pk)
            small.ids.append(pk)
            small.whose.append(student)
            small.every.append(row_of(drawn))
            if assignment == asked:
                small.here.append(rows_of(drawn))
    return small


def _drawn(thumbnail: UUID) -> Drawn:
    """Its form, which was there a moment ago; a blank one that is like no other once it is gone."""
    kept = DrawnForm.objects.filter(
        image__in=Thumbnail.objects.filter(pk=thumbnail).values("image")
    )
    read = found.read if (found := kept.first()) else None
    return read if isinstance(read, Drawn) else _GONE


SIDE_BY_SIDE = Kind(run=look_for_pairs)
