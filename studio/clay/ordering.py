"""How long clay lasts, and what to order of it: whole bags and boxes. The standard library only.

Masses in grams, prices in the studio's own currency.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from .bags import bags_for


@dataclass(frozen=True)
class Dated:
    """So much clay on a day: needed then, or there from then on."""

    on: date
    grams: float


@dataclass(frozen=True)
class Offer:
    """How a clay body is sold. `bags_in_box` is 1 where there are no boxes; a price that isn't
    known is None.
    """

    bag_g: float
    bags_in_box: int = 1
    sold_singly: bool = True
    bag_price: Decimal | None = None
    box_price: Decimal | None = None


@dataclass(frozen=True)
class Packs:
    """What is ordered: boxes and single bags, what they hold together, and what they cost (None
    where a price isn't known).
    """

    boxes: int
    bags: int
    bags_in_all: int
    grams: float
    cost: Decimal | None


@dataclass(frozen=True)
class Outlook:
    """Whether the clay lasts. `runs_out_on` is the first day on which less is there than is needed,
    None where it lasts; `lacking_g` is what has to come beside all that is on its way.
    """

    runs_out_on: date | None
    lacking_g: float


def outlook(
    on_hand_g: float,
    *,
    goes: Sequence[Dated],
    comes: Sequence[Dated],
    today: date,
    days_to_come: int = 0,
) -> Outlook:
    """What is needed and what comes, laid on one line of days. What was needed before today is
    needed today, what should have come before today is awaited for today; on one day clay comes
    before it goes.

    What comes after the last day of need lacks all the same, unless an order of today, which takes
    `days_to_come`, would come no sooner.
    """
    if not any(each.grams > 0 for each in goes):
        return Outlook(None, 0.0)
    last = max(*(each.on for each in goes), today + timedelta(days=days_to_come))
    changes: defaultdict[date, float] = defaultdict(float)
    for each in comes:
        changes[max(each.on, today)] += each.grams
    for each in goes:
        changes[max(each.on, today)] -= each.grams
    left_g, runs_out_on, left_at_last_g = on_hand_g, None, on_hand_g
    for day in sorted(changes):
        left_g += changes[day]
        if day <= last:
            left_at_last_g = left_g
        # A gram is less than any scale of a clay room shows.
        if left_g < -1 and runs_out_on is None:
            runs_out_on = day
    return Outlook(runs_out_on, max(0.0, -left_at_last_g) if left_at_last_g < -1 else 0.0)


def order_by(runs_out_on: date, days_to_come: int) -> date:
    """The last day to order, so that clay is there the day before it runs out."""
    return runs_out_on - timedelta(days=days_to_come + 1)


def packs_for(grams: float, offer: Offer) -> Packs:
    """The cheapest bags and boxes that hold at least `grams`; among those of one price the least
    clay, then the fewest to carry. Where no price is known, the least clay decides.
    """
    need = bags_for(grams, offer.bag_g) or 0
    return min(_ways(need, offer), key=_preference)


def _ways(need: int, offer: Offer) -> Iterable[Packs]:
    if offer.bags_in_box == 1:
        return [_packs(0, need, offer)]
    most = math.ceil(need / offer.bags_in_box)
    if not offer.sold_singly:
        return [_packs(most, 0, offer)]
    return [
        _packs(boxes, max(0, need - boxes * offer.bags_in_box), offer) for boxes in range(most + 1)
    ]


def _packs(boxes: int, bags: int, offer: Offer) -> Packs:
    bags_in_all = boxes * offer.bags_in_box + bags
    cost = Decimal(0)
    for count, price in ((boxes, offer.box_price), (bags, offer.bag_price)):
        if count and price is None:
            return Packs(boxes, bags, bags_in_all, bags_in_all * offer.bag_g, None)
        cost += count * (price or 0)
    return Packs(boxes, bags, bags_in_all, bags_in_all * offer.bag_g, cost)


def _preference(packs: Packs) -> tuple[bool, Decimal, float, int]:
    unknown = packs.cost is None
    return unknown, packs.cost or Decimal(0), packs.grams, packs.boxes + packs.bags


def rough_pot_g(
    *, height_mm: float, width_mm: float, wall_mm: float, base_mm: float, density_g_per_cm3: float
) -> float:
    """The wet clay of an upright cylinder of this outer size, open at the top, grams. It stands in
    for pots that nobody has planned yet. Raises `ValueError` where the wall fills it.
    """
    inner_mm = width_mm - 2 * wall_mm
    if inner_mm <= 0 or base_mm >= height_mm:
        raise ValueError("no cavity is left")
    outer_mm3 = math.pi / 4 * width_mm**2 * height_mm
    cavity_mm3 = math.pi / 4 * inner_mm**2 * (height_mm - base_mm)
    return (outer_mm3 - cavity_mm3) / 1000 * density_g_per_cm3
