"""What is there, by clay body, and whether it is enough for the plans that wait for clay."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from studio.clay.models import Lot, LotKind
from studio.people.models import Studio
from studio.room.models import ClayBody

from .needs import needs_of_studio


@dataclass
class BodyStock:
    """The clay of one body, in grams, its lots with the oldest first; `needed_g` is what approved
    plans still wait for.
    """

    body: ClayBody
    lots: list[Lot] = field(default_factory=list)
    needed_g: float = 0

    def _sum(self, *kinds: LotKind) -> int:
        return sum(lot.balance_g for lot in self.lots if lot.kind in kinds and not lot.mixed)

    @property
    def bought_g(self) -> int:
        return self._sum(LotKind.BOUGHT)

    @property
    def reclaimed_g(self) -> int:
        return self._sum(LotKind.RECLAIMED)

    @property
    def returned_g(self) -> int:
        return self._sum(LotKind.RETURNED)

    @property
    def ready_g(self) -> int:
        """Fit to build with now."""
        return self._sum(LotKind.BOUGHT, LotKind.RECLAIMED)

    @property
    def lacking_g(self) -> float:
        return max(0.0, self.needed_g - self.ready_g)

    @property
    def bag_g(self) -> int | None:
        """A bag of the oldest lot in bags that has clay: the next one to be opened."""
        return next((lot.bag_g for lot in self.to_issue if lot.bag_g), None)

    @property
    def to_issue(self) -> list[Lot]:
        return [lot for lot in self._pure if lot.kind != LotKind.RETURNED]

    @property
    def to_reclaim(self) -> list[Lot]:
        return [lot for lot in self._pure if lot.kind == LotKind.RETURNED]

    @property
    def mixed(self) -> list[Lot]:
        """Of several bodies, for practice only; this one fires lowest of them."""
        return [lot for lot in self.lots if lot.mixed and lot.balance_g]

    @property
    def _pure(self) -> list[Lot]:
        return [lot for lot in self.lots if lot.balance_g and not lot.mixed]


def clay_on_hand(studio: Studio) -> list[BodyStock]:
    """Every body that has lots, is in use, or is waited for, by name. Four queries."""
    needs = needs_of_studio(studio)
    stocks = {
        body.pk: BodyStock(body=body, needed_g=needs.get(body.pk, 0))
        for body in ClayBody.objects.filter(studio=studio)
    }
    for lot in Lot.objects.filter(studio=studio).select_related("body"):
        stocks[lot.body_id].lots.append(lot)
    return [each for each in stocks.values() if each.lots or each.needed_g or not each.body.retired]


def stock_of(body: ClayBody) -> BodyStock:
    """One body's lots; what is needed is left to whoever asks. One query."""
    lots = Lot.objects.filter(body=body).select_related("body", "studio")
    return BodyStock(body=body, lots=list(lots))


def bags_on_hand(lots: Sequence[Lot]) -> int:
    """Bags that are whole, counted as clay: two that were begun may count as one."""
    return sum(lot.balance_g // lot.bag_g for lot in lots if lot.bag_g)
