"""What has been marked: each piece with its criteria, its markings and what was released.

A fixed number of queries however many pieces.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet

from assessments.models import Marking, Result
from assessments.scoring.score import Judged, Score, score
from planning.models import Assignment, Piece
from studio.people.models import User

from .exemptions import exempt_criteria
from .rubrics import CriterionSeen, LevelSeen, criteria_in, default_version


@dataclass(frozen=True)
class Given:
    """What one criterion got; `level` is None while it is open."""

    level: LevelSeen | None
    note: str = ""


@dataclass(frozen=True)
class MarkingSeen:
    """One marker's marking; `given` by criterion of the version."""

    pk: UUID
    marker: UUID
    marker_name: str
    edition: int
    comment: str
    changed_at: datetime
    version: UUID
    given: dict[UUID, Given] = field(default_factory=dict)

    @property
    def begun(self) -> bool:
        return bool(self.comment or self.given)

    def same_as(self, other: "MarkingSeen") -> bool:
        return (self.given, self.comment) == (other.given, other.comment)


@dataclass(frozen=True)
class PieceMarks:
    """A piece with all that is known of its marks. `exempt` are criteria of `criteria`."""

    piece: Piece
    criteria: tuple[CriterionSeen, ...]
    exempt: frozenset[UUID]
    markings: tuple[MarkingSeen, ...]
    result: Result | None

    @property
    def judged(self) -> list[CriterionSeen]:
        """What the student is judged by."""
        return [each for each in self.criteria if each.pk not in self.exempt]

    @property
    def begun(self) -> list[MarkingSeen]:
        """Markings in which something stands."""
        return [each for each in self.markings if each.begun]

    def own(self, person: User) -> MarkingSeen | None:
        return next((each for each in self.markings if each.marker == person.pk), None)

    def others(self, person: User) -> list[MarkingSeen]:
        return [each for each in self.begun if each.marker != person.pk]

    def score_of(self, marking: MarkingSeen | None) -> Score:
        """Of a marking; of none, every criterion is open."""
        return score(
            Judged(
                weight=each.weight,
                most=each.most,
                points=_points(marking, each),
                exempt=each.pk in self.exempt,
            )
            for each in self.criteria
        )

    def to_release(self, person: User) -> MarkingSeen | None:
        """Whose marking the person would release: their own, else the only one.

        None where there is none, and where two differ and somebody has to choose.
        """
        own = self.own(person)
        if own is not None and own.begun:
            return own
        begun = self.begun
        if begun and all(each.same_as(begun[0]) for each in begun):
            return begun[0]
        return None

    def is_marked(self) -> bool:
        """Whether somebody has marked it to the end."""
        return any(not self.score_of(each).open for each in self.begun)


def pieces_to_mark(assignments: "QuerySet[Assignment]") -> list[Piece]:
    """The pieces of those who are in these classes now, by name, as `marks_of` needs them."""
    pieces = Piece.objects.filter(assignment__in=assignments.order_by()).of_enrolled()
    return list(loaded(pieces))


def loaded(pieces: "QuerySet[Piece]") -> "QuerySet[Piece]":
    """With everything that marks and evidence read of a piece."""
    return pieces.select_related(
        "student",
        "studio",
        "let_through",
        "ideas",
        "steps",
        "assignment__section__studio",
        "assignment__rubric__version__rubric",
    )


def marks_of(pieces: Sequence[Piece]) -> dict[UUID, PieceMarks]:
    """By piece. They are `loaded`."""
    markings = _markings([piece.pk for piece in pieces])
    results = {
        row.piece_id: row
        for row in Result.objects.current()
        .filter(piece__in=[piece.pk for piece in pieces])
        .select_related("released_by")
    }
    versions = _versions(pieces, markings)
    criteria = criteria_in({pk for pk in versions.values() if pk is not None})
    exempt = exempt_criteria(pieces)
    return {
        piece.pk: _marks(
            piece,
            criteria[version] if (version := versions[piece.pk]) else [],
            exempt[piece.pk],
            markings[piece.pk],
            results.get(piece.pk),
        )
        for piece in pieces
    }


def is_released() -> Exists:
    """To annotate pieces with: whether a result holds, for its student to read."""
    return Exists(Result.objects.current().filter(piece=OuterRef("pk")))


@dataclass
class _Row:
    seen: MarkingSeen
    levels: dict[UUID, tuple[UUID | None, str]] = field(default_factory=dict)


def _markings(pieces: Iterable[UUID]) -> dict[UUID, list[_Row]]:
    """By piece, in the order of the markers' names; one query."""
    by_name = ("marker__family_name", "marker__given_name", "pk")
    rows = Marking.objects.filter(piece__in=list(pieces)).order_by(*by_name)
    joined: Iterable[tuple[Any, ...]] = rows.values_list(
        "pk",
        "piece",
        "marker",
        "marker__given_name",
        "marker__family_name",
        "marker__username",
        "edition",
        "comment",
        "changed_at",
        "version",
        "levels__criterion",
        "levels__level",
        "levels__note",
    )
    found: dict[UUID, _Row] = {}
    by_piece: dict[UUID, list[_Row]] = defaultdict(list)
    for pk, piece, marker, given, family, username, edition, comment, at, version, *got in joined:
        if pk not in found:
            name = f"{given} {family}".strip() or username
            found[pk] = _Row(MarkingSeen(pk, marker, name, edition, comment, at, version))
            by_piece[piece].append(found[pk])
        criterion, level, note = got
        if criterion is not None:
            found[pk].levels[criterion] = (level, note)
    return by_piece


def _versions(pieces: Sequence[Piece], markings: dict[UUID, list[_Row]]) -> dict[UUID, UUID | None]:
    """What each piece is marked by: as it was begun, else as its assignment says."""
    found: dict[UUID, UUID | None] = {}
    default: dict[UUID, UUID | None] = {}
    for piece in pieces:
        chosen = getattr(piece.assignment, "rubric", None)
        if rows := markings[piece.pk]:
            found[piece.pk] = rows[0].seen.version
        elif chosen is not None:
            found[piece.pk] = chosen.version_id
        else:
            if piece.studio_id not in default:
                version = default_version(piece.studio)
                default[piece.studio_id] = version.pk if version else None
            found[piece.pk] = default[piece.studio_id]
    return found


def _marks(
    piece: Piece,
    criteria: Sequence[CriterionSeen],
    exempt: frozenset[UUID],
    rows: Sequence[_Row],
    result: Result | None,
) -> PieceMarks:
    levels = {level.pk: level for each in criteria for level in each.levels}
    for row in rows:
        for criterion, (level, note) in row.levels.items():
            row.seen.given[criterion] = Given(levels[level] if level else None, note)
    return PieceMarks(
        piece=piece,
        criteria=tuple(criteria),
        exempt=frozenset(each.pk for each in criteria if each.criterion in exempt),
        markings=tuple(row.seen for row in rows),
        result=result,
    )


def _points(marking: MarkingSeen | None, criterion: CriterionSeen) -> Decimal | None:
    given = marking.given.get(criterion.pk) if marking else None
    return given.level.points if given and given.level else None
