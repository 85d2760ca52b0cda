"""What pots ask for on the first page of staff, in one query."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, UUIDField, Value
from django.db.models.expressions import Combinable

from planning.models import Piece
from studio.people.models import Section, User
from studio.uploads.models import StoredImage
from studio.ware.models import GreenwareCheck, Occasion, Pot, PotPhoto, Stage
from studio.ware.stages import DAMP

from .covers import CoverList, in_order


@dataclass(frozen=True)
class WareToday:
    """Pots that wait for a greenware check, the longest first; cover lists of the classes that
    meet; pots that lack the photo before a firing; pieces of which a pot was built; pots of which
    something is asked, with the id of the `question`."""

    checks: list[Pot]
    covers: list[CoverList]
    photos: list[Pot]
    built: set[UUID]
    questions: list[Any]


def ware_today(
    person: User,
    meeting: Mapping[Section, date | None],
    today: date,
    question: Combinable | None = None,
) -> WareToday:
    """`meeting`: the classes that meet today, each with its next lesson after today. `question`:
    the id of what is asked about a pot, over a query of pots; what it is, the caller knows."""
    standing = GreenwareCheck.objects.standing().filter(pot=OuterRef("pk"))
    there = PotPhoto.objects.filter(pot=OuterRef("pk")).exclude(
        image__state=StoredImage.State.REFUSED
    )
    pieces = Piece.objects.visible_to(person).filter(assignment__section__archived=False)
    rows: list[Any] = list(
        Pot.objects.filter(piece__in=pieces.of_enrolled().order_by())
        .select_related("piece__student", "piece__assignment__section", "place")
        .annotate(
            checked=Exists(standing),
            seen_dry=Exists(there.filter(occasion=Occasion.BEFORE_BISQUE)),
            seen_glazed=Exists(there.filter(occasion=Occasion.BEFORE_GLAZE)),
            question=question or Value(None, UUIDField()),
        )
    )
    checks: list[Pot] = []
    photos: list[Pot] = []
    questions: list[Any] = []
    built: set[UUID] = set()
    open_edges: dict[UUID, list[Pot]] = {section.pk: [] for section in meeting}
    for pot in rows:
        section = pot.piece.assignment.section_id
        if pot.checked or pot.stage not in DAMP:
            built.add(pot.piece_id)
        if pot.lost:
            continue
        if pot.question is not None:
            questions.append(pot)
        if pot.said_built_at is not None:
            checks.append(pot)
        if pot.stage in DAMP and not pot.checked and section in open_edges:
            open_edges[section].append(pot)
        unseen = {Stage.BONE_DRY: not pot.seen_dry, Stage.GLAZED: not pot.seen_glazed}
        if unseen.get(Stage(pot.stage), False):
            photos.append(pot)
    covers = [
        CoverList(section, in_order(open_edges[section.pk]), following, _days(today, following))
        for section, following in meeting.items()
        if open_edges[section.pk]
    ]
    checks.sort(key=lambda pot: pot.said_built_at or pot.begun_at)
    return WareToday(checks, covers, photos, built, questions)


def _days(today: date, following: date | None) -> int | None:
    return (following - today).days if following is not None else None
