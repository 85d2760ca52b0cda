"""Pots that wait for a kiln, many at once, and a load that is checked by another route."""

from collections.abc import Iterable, Sequence
from datetime import timedelta
from typing import Any

from planning.models import PlanState, PlanVersion
from planning.services.plans import approve
from studio.kilns.models import Slot
from studio.kilns.packing.checked import checked
from studio.kilns.selectors.loads import contents, furniture_of, stock_of
from studio.people.models import Section, User
from studio.ware.models import Pot
from studio.ware.services import begin_pot, check_dryness, check_greenware, come_to_stage
from tests.cast import NOW, School, pupil
from tests.copied import copied
from tests.planning.projects import a_brief, given
from tests.planning.work import piece_of, send

LATER = NOW + timedelta(days=3)
# Width, depth and height in mm: small ones and one tall, as a class makes them.
SIZES = (
    (120, 120, 140),
    (150, 150, 190),
    (95, 95, 90),
    (180, 170, 160),
    (110, 110, 250),
    (140, 140, 120),
)


def many_dry(
    cast: School,
    count: int,
    *,
    sizes: Sequence[tuple[float, float, float]] = SIZES,
    section: Section | None = None,
    teacher: User | None = None,
    title: str = "Many pots",
) -> list[Pot]:
    """Pots found air dry, of as many new students. Their plans are copies of one that was sent."""
    section, teacher = section or cast.section, teacher or cast.teacher
    students = [pupil(cast.head, section, f"Pupil{n:02}", "Oakes") for n in range(count)]
    (assignment,) = given(teacher, section, brief=a_brief(teacher, title))
    pieces = [piece_of(assignment, student) for student in students]
    first = send(cast, pieces[0])
    approve(plan=first, by=teacher, at=NOW)
    copies = [copied(first, piece_id=piece.pk, state=PlanState.APPROVED) for piece in pieces[1:]]
    PlanVersion.objects.bulk_create(copies)
    pots = [begin_pot(piece=piece, by=teacher, at=NOW) for piece in pieces]
    come_to_stage(pots=pots, stage="leather_hard", by=teacher, at=NOW)
    for n, pot in enumerate(pots):
        measure(pot, teacher, *sizes[n % len(sizes)])
    check_dryness(pots=pots, air_dry=True, by=teacher, at=LATER)
    return again(pots)


def measure(pot: Pot, by: User, front: float, depth: float, height: float, **more: Any) -> None:
    check_greenware(
        pot=pot,
        thickest_mm=12,
        height_mm=height,
        front_mm=front,
        depth_mm=depth,
        code_legible=True,
        cracks="",
        by=by,
        confirm=True,
        **{"at": NOW} | more,
    )


def again(pots: Iterable[Pot]) -> list[Pot]:
    """As they are now, in the same order."""
    ids = [pot.pk for pot in pots]
    found = Pot.objects.select_related("piece__student", "plan").in_bulk(ids)
    return [found[pk] for pk in ids]


def wrong_with(slot: Slot) -> list[str]:
    """What a geometry library finds wrong with the load as it is kept, and what the kiln lacks."""
    load, stock = contents(slot), stock_of(slot.kiln)
    found = [each.message for each in checked(furniture_of(slot.kiln), load.pieces, load.layers)]
    used = [post for post in load.posts_mm if post is not None]
    found += [f"{h} mm posts" for h, sets in stock.posts if used.count(h) > sets]
    found += ["posts of no height"] * (not set(used) <= {height for height, _ in stock.posts})
    found += ["too many layers"] * (len(load.posts_mm) > stock.shelves)
    if load.posts_mm and load.posts_mm[-1] is not None:
        found.append("posts on top")
    if any(each.layer >= len(load.posts_mm) for each in load.placements):
        found.append("a pot in no layer")
    return found
