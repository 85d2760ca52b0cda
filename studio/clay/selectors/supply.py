"""For how long the clay lasts: what is needed and when, what is there, what is on its way."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from statistics import median
from typing import Any
from uuid import UUID

from django.db.models import Count, Exists, OuterRef

from planning.models import Assignment, Milestone, MilestoneKind, Piece, PlanState, PlanVersion
from studio.clay.models import Batch, Order, Pack
from studio.clay.ordering import Dated, Offer, Outlook, Packs, outlook, packs_for, rough_pot_g
from studio.clay.ordering import order_by as order_by_day
from studio.people.models import Studio
from studio.room.models import ClayBody
from studio.ware.models import Pot

from .reclaim import drying_batches, expected_g, usual_yield
from .stock import BodyStock, clay_on_hand

# A class that is late still gets its clay; what is later than this isn't waited for.
STILL_AWAITED = timedelta(days=21)
# So few plans say little about the others of their brief (common practice, no source).
LEAST_PLANS = 3
# A pot that nobody has planned yet, as a cylinder: between the brief's heights, and so wide of
# the widest that it allows (common practice, no source).
ROUGH_WIDTH = 0.6


@dataclass(frozen=True)
class ToCome:
    """The clay of a class's pots that have no approved plan yet. `plans` is from how many approved
    plans of the brief `each_g` was taken; 0: roughly, by the brief's limits.
    """

    assignment: Assignment
    pieces: int
    each_g: float
    plans: int
    on: date

    @property
    def grams(self) -> float:
        return self.pieces * self.each_g


@dataclass
class BodySupply:
    """One clay body: what is there, what is needed, what comes."""

    stock: BodyStock
    today: date
    reclaim_yield: float
    pack: Pack | None = None
    to_come: list[ToCome] = field(default_factory=list)
    orders: list[Order] = field(default_factory=list)
    batches: list[Batch] = field(default_factory=list)

    @property
    def body(self) -> ClayBody:
        return self.stock.body

    @property
    def matters(self) -> bool:
        """Whether anybody needs it, or it is here, ordered, or known how it is sold."""
        return bool(self.needed_g or self.stock.lots or self.orders or self.pack)

    @property
    def to_come_g(self) -> float:
        return sum(each.grams for each in self.to_come)

    @property
    def to_come_pieces(self) -> int:
        return sum(each.pieces for each in self.to_come)

    @property
    def is_rough(self) -> bool:
        return any(not each.plans for each in self.to_come)

    @property
    def needed_g(self) -> float:
        return self.stock.needed_g + self.to_come_g

    @property
    def on_order_g(self) -> int:
        return sum(order.grams for order in self.orders)

    @property
    def drying_g(self) -> float:
        return sum(expected_g(batch, self.reclaim_yield) for batch in self.batches)

    @property
    def outlook(self) -> Outlook:
        goes = [Dated(self.today, self.stock.needed_g)]
        goes += [Dated(each.on, each.grams) for each in self.to_come]
        comes = [Dated(order.expected_on, order.grams) for order in self.orders]
        comes += [
            Dated(batch.ready_on, expected_g(batch, self.reclaim_yield)) for batch in self.batches
        ]
        return outlook(
            self.stock.ready_g,
            goes=goes,
            comes=comes,
            today=self.today,
            days_to_come=self.pack.days_to_come if self.pack else 0,
        )

    @property
    def proposal(self) -> Packs | None:
        """None where nothing lacks, or nobody said how it is sold."""
        lacking_g = self.outlook.lacking_g
        if not lacking_g or self.pack is None:
            return None
        return packs_for(lacking_g, offer_of(self.pack))

    @property
    def order_by(self) -> date | None:
        """The last day to order; today where it is past. None where nothing is to be ordered."""
        seen = self.outlook
        if self.pack is None or seen.runs_out_on is None or not seen.lacking_g:
            return None
        return max(self.today, order_by_day(seen.runs_out_on, self.pack.days_to_come))

    @property
    def comes_too_late(self) -> bool:
        """Ordered today it comes after the clay has run out."""
        out = self.outlook.runs_out_on
        if self.pack is None or out is None:
            return False
        return order_by_day(out, self.pack.days_to_come) < self.today


def offer_of(pack: Pack) -> Offer:
    return Offer(
        bag_g=pack.bag_g,
        bags_in_box=pack.bags_in_box,
        sold_singly=pack.sold_singly,
        bag_price=pack.bag_price,
        box_price=pack.box_price,
    )


def supplies(studio: Studio, *, today: date) -> list[BodySupply]:
    """Every body that is in use, there, or needed, by name. Twelve queries."""
    share = usual_yield(studio)
    found = {stock.body.pk: BodySupply(stock, today, share) for stock in clay_on_hand(studio)}
    for pack in Pack.objects.filter(body__in=found):
        found[pack.body_id].pack = pack
    for order in Order.objects.on_the_way().filter(studio=studio):
        found[order.body_id].orders.append(order)
    for batch in drying_batches(studio):
        if not batch.out.lot.mixed:
            found[batch.out.lot.body_id].batches.append(batch)
    for each in clay_to_come(studio, today=today):
        if each.assignment.clay_body_id in found:
            found[each.assignment.clay_body_id].to_come.append(each)
    return list(found.values())


def clay_to_come(studio: Studio, *, today: date) -> list[ToCome]:
    """By assignment, the first needed first. Four queries."""
    waiting = _without_plan(studio, today)
    assignments = Assignment.objects.filter(pk__in=waiting).select_related("section", "clay_body")
    rows = list(assignments.order_by("given_on", "pk"))
    when = _plan_days(waiting)
    planned = _planned_g({row.brief_id for row in rows})
    found = []
    for row in rows:
        of_brief = planned[row.brief_id, row.clay_body_id]
        known = len(of_brief) >= LEAST_PLANS
        pot_g = median(of_brief) if known else _rough_g(row)
        each_g = pot_g * (1 + float(row.working_allowance_pct) / 100)
        on = max(today, when.get(row.pk, row.due_on))
        plans = len(of_brief) if known else 0
        found.append(ToCome(row, waiting[row.pk], each_g, plans, on))
    return sorted(found, key=lambda each: each.on)


def _without_plan(studio: Studio, today: date) -> dict[UUID, int]:
    """By assignment how many pieces have no approved plan and no pot."""
    approved = PlanVersion.objects.filter(piece=OuterRef("pk"), state=PlanState.APPROVED)
    pots = Pot.objects.filter(piece=OuterRef("pk"))
    rows = (
        Piece.objects.filter(
            studio=studio,
            assignment__section__archived=False,
            assignment__due_on__gte=today - STILL_AWAITED,
        )
        .of_enrolled()
        .exclude(Exists(approved))
        .exclude(Exists(pots))
        .order_by()
        .values("assignment")
        .annotate(pieces=Count("pk", distinct=True))
    )
    return {row["assignment"]: row["pieces"] for row in rows}


def _plan_days(assignments: Collection[UUID]) -> dict[UUID, date]:
    """By assignment the day by which plans are sent; clay goes out from then on."""
    rows = Milestone.objects.filter(assignment__in=list(assignments), kind=MilestoneKind.PLAN_SENT)
    return dict(rows.order_by().values_list("assignment", "on"))


def _planned_g(briefs: Collection[UUID]) -> Mapping[tuple[UUID, UUID], list[float]]:
    """By brief and clay body the pots of its approved plans, grams."""
    rows: Any = (
        PlanVersion.objects.filter(
            piece__assignment__brief__in=list(briefs),
            state=PlanState.APPROVED,
            pot_wet_g__isnull=False,
        )
        .order_by()
        .values_list("piece__assignment__brief", "piece__assignment__clay_body", "pot_wet_g")
    )
    found: defaultdict[tuple[UUID, UUID], list[float]] = defaultdict(list)
    for brief, body, pot_g in rows:
        found[brief, body].append(pot_g)
    return found


def _rough_g(terms: Assignment) -> float:
    body = terms.clay_body
    wet = 1 / (1 - float(body.total_shrinkage_pct) / 100)
    widest = float(min(terms.max_fired_width_mm, terms.max_fired_depth_mm))
    height = float(terms.min_fired_height_mm + terms.max_fired_height_mm) / 2
    try:
        return rough_pot_g(
            height_mm=height * wet,
            width_mm=ROUGH_WIDTH * widest * wet,
            wall_mm=float(terms.wall_mm),
            base_mm=float(terms.base_mm),
            density_g_per_cm3=float(body.wet_density_g_per_cm3),
        )
    except ValueError:
        return 0.0
