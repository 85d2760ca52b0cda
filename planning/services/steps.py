"""How far each drawing is from the one before it, from the chosen one on to the plan."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils import timezone

from planning.exploration.reading import Unread
from planning.exploration.silhouette import Drawn
from planning.exploration.steps import form_of_outline, nearest, steps_taken
from planning.models import Piece, PlanVersion, Refinement, Steps, Thumbnail
from planning.models.steps import Way
from planning.selectors.steps import drawings_on_the_way, plan_to_compare
from studio.uploads.models import StoredImage

Read = Callable[[StoredImage], Drawn | Unread]


@dataclass(frozen=True)
class OnTheWay:
    """The drawings and the plan of a piece that are compared from its choice on."""

    chosen: Thumbnail
    refinements: list[Refinement]
    thumbnails: list[Thumbnail]
    plan: PlanVersion | None

    @property
    def told(self) -> Way:
        return Way(
            chosen=str(self.chosen.pk),
            refinements=[str(each.pk) for each in self.refinements],
            thumbnails={str(each.pk) for each in self.thumbnails},
            plan=str(self.plan.pk) if self.plan else "",
        )


def on_the_way(piece: UUID, thumbnails: list[Thumbnail]) -> OnTheWay | None:
    """With these, which stand and were read; None before the choice."""
    drawn = drawings_on_the_way(piece)
    if drawn is None:
        return None
    plan = plan_to_compare(PlanVersion.objects.filter(piece=piece))
    return OnTheWay(*drawn, thumbnails, plan)


def steps_answer(way: OnTheWay, read: Read) -> dict[str, Any]:
    """What `Steps.answer` keeps of them."""
    stepped = [way.chosen, *way.refinements]
    every: list[Thumbnail | Refinement] = [*way.thumbnails, *way.refinements]
    found = {each.pk: read(each.image) for each in every}
    told: dict[str, Any] = {
        "alike": steps_taken([found[each.pk] for each in stepped]),
        "nearest": None,
    }
    if way.plan is not None and way.plan.silhouette:
        form = form_of_outline(way.plan.silhouette)
        if most := nearest([found[each.pk] for each in every], form):
            told["nearest"] = {"id": str(every[most[0]].pk), "alike": most[1]}
    told["unreadable"] = [
        {"id": str(pk), **each.told} for pk, each in found.items() if isinstance(each, Unread)
    ]
    return told


def keep_steps(*, piece: Piece, way: OnTheWay, answer: dict[str, Any] | None) -> None:
    """With the piece held."""
    Steps.objects.update_or_create(
        piece=piece,
        defaults={
            "of": way.told.as_json,
            "answer": answer,
            "version": Steps.VERSION,
            "computed_at": timezone.now(),
        },
    )
