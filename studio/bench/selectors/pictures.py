"""What is kept of build checks as the pictures and sentences that a page shows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from planning.bench.sentences import Said
from planning.pictures.checked import Checked, DartsAt, MeasuredPlace
from planning.pictures.drift import CheckLine, DriftPicture, drift_picture
from planning.pictures.levels import level_at
from planning.pictures.outline import Sample
from planning.plans.wording import said_sentence
from studio.bench.models import BuildCheck, CarryOn
from studio.units.scales import Units
from studio.ware.models import Pot

TO_BE_DONE = frozenset({"steer", "press_in", "ease_out", "dart", "rebuild"})


@dataclass(frozen=True)
class PlaceAnswer:
    """One place of a check: what was measured, what is planned, and the sentence."""

    measured: dict[str, Any]
    planned: dict[str, float]
    deviation_mm: float
    action: str
    sentence: str
    darts: dict[str, Any] | None

    @property
    def wrong(self) -> bool:
        """Something is to be done here."""
        return self.action in TO_BE_DONE


@dataclass(frozen=True)
class DriftRow:
    """A line of the table beside the plot."""

    number: int
    check: BuildCheck
    height_mm: float
    deviation_mm: float


@dataclass(frozen=True)
class Drift:
    """How the pot's checks went on: the plot, and the same as a table."""

    picture: DriftPicture
    rows: list[DriftRow]


def answers_of(check: BuildCheck, units: Units) -> list[PlaceAnswer]:
    """From the top down, as one works."""
    answers = [
        PlaceAnswer(
            measured=each["measured"],
            planned=each["planned"],
            deviation_mm=each["deviation_mm"],
            action=each["action"],
            sentence=said_sentence(Said(each["code"], each["values"]), units),
            darts=each["darts"],
        )
        for each in check.places
    ]
    return sorted(answers, key=lambda each: -each.measured["height_mm"])


def outline_at(pot: Pot, agreed: CarryOn | None) -> list[Sample]:
    """What the pot is to become: its plan, above the edge of new rows the outline of those."""
    planned = pot.plan.silhouette
    if agreed is None:
        return planned
    onward = outline_of(agreed)
    return [each for each in planned if each[0] < onward[0][0]] + onward


def outline_built(pot: Pot, agreed: CarryOn | None) -> list[Sample]:
    """The same as one outline without a step: below the edge of new rows the plan, wider or
    narrower in proportion to the height by what it is at the edge."""
    if agreed is None:
        return pot.plan.silhouette
    onward = outline_of(agreed)
    edge, left, right = onward[0]
    _, plan_left, plan_right = level_at(pot.plan.silhouette, edge)
    below = [
        (h, a + (left - plan_left) * h / edge, b + (right - plan_right) * h / edge)
        for h, a, b in pot.plan.silhouette
        if h < edge
    ]
    return below + onward


def outline_of(carry_on: CarryOn) -> list[Sample]:
    return [(height, left, right) for height, left, right in carry_on.figures["outline"]]


def laid_over(
    check: BuildCheck, silhouette: Sequence[Sample], onward: Sequence[Sample] = ()
) -> Checked:
    """The picture of a check; carried on, nothing is cut."""
    places = [
        MeasuredPlace(
            height_mm=each["measured"]["height_mm"],
            planned_mm=each["planned"]["front_mm"],
            width_mm=each["width_mm"],
            wrong=each["action"] in TO_BE_DONE,
        )
        for each in check.places
    ]
    cut = [each for each in check.places if each["darts"] and not onward]
    top = max(cut, key=lambda each: each["measured"]["height_mm"], default=None)
    darts = DartsAt(top["measured"]["height_mm"], **top["darts"]) if top else None
    return Checked(silhouette, places, darts, onward)


def drift_of(pot: Pot, checks: Sequence[BuildCheck]) -> Drift | None:
    """Of the checks that count, in order of time; None where there is none."""
    if not checks:
        return None
    terms = pot.piece.assignment
    lines = [
        CheckLine(
            number,
            [(each["measured"]["height_mm"], each["deviation_mm"]) for each in check.places],
        )
        for number, check in enumerate(checks, start=1)
    ]
    picture = drift_picture(
        pot.plan.silhouette, lines, float(terms.tolerance_mm), float(terms.tolerance_pct)
    )
    rows = [
        DriftRow(line.number, check, height, off)
        for line, check in zip(lines, checks, strict=True)
        for height, off in sorted(line.places, reverse=True)
    ]
    return Drift(picture, rows)
