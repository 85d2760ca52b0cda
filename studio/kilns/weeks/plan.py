"""A week of firings: chosen, packed, and gone over again where pots didn't fit."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from .answer import Answer
from .groups import Group
from .inputs import Week
from .loads import dealt
from .model import Choice, Model
from .repair import lighter, repaired
from .soundness import refuse_troubles
from .table import Plan, Table
from .trials import WHOLE, Fill

ROUNDS, FEWEST_ROUNDS = 6, 2
SOLVED_FLOWS = 6_000
"""So many classes by their starts are gone over, all rounds together: a large week has fewer."""

LESS = 0.98
"""A firing that was asked too much of is asked a little less than what it took."""


def plan_week(
    week: Week,
    before: Mapping[str, str] | None = None,
    *,
    each_load: Callable[[int], None] = lambda _packed: None,
) -> Answer:
    """Firings, their whole loads, and what is left out and why.

    `before` is an earlier plan, the start of each pot: it stays unless a better one is found, so
    that a week with one more start is never planned worse. `each_load` is told how many loads were
    packed, now and then. The same input gives the same answer, as far as `model` says. Raises
    KilnRefused.
    """
    refuse_troubles(week)
    table = Table.laid(week, each_load)
    rigorous = table.bounding(dict.fromkeys(table.insides, WHOLE)).solved()
    each_load(table.packer.packs)
    usual = table.model(table.limits({k: v.usual for k, v in table.fills.items()}))
    choice = usual.solved()
    plans = [_former(table, before)] if before else []
    if table.few:
        plans.append(repaired(_packed(table, rigorous, table.exact_groups)[0], table))
    plans += _gone_over(table, usual, choice)
    best = min(plans, key=table.score)
    if table.score(best).firings > rigorous.bounds[-1] and not table.packer.is_spent:
        best = min(best, *_more_daring(table, best), key=table.score)
    calibrated = rigorous.bounds
    if table.score(best)[:-1] != calibrated:
        each_load(table.packer.packs)
        fullest = table.bounding({k: v.best for k, v in table.fills.items()})
        calibrated = fullest.solved().bounds
    return table.answer(
        best, usual=choice.bounds, calibrated=calibrated, area_height=rigorous.bounds
    )


def _gone_over(table: Table, model: Model, choice: Choice) -> Iterator[Plan]:
    """Plans with less and less room in firings that were asked too much of."""
    aim, limits = choice.bounds, model.limits
    rounds = SOLVED_FLOWS // max(len(model.flows), 1)
    for _ in range(max(min(rounds, ROUNDS), FEWEST_ROUNDS)):
        asked, short = _packed(table, choice, table.groups)
        plan = repaired(asked, table)
        yield plan
        if not short or table.packer.is_spent or table.score(plan)[:-1] <= aim:
            return
        limits = _less(limits, short, table)
        choice = table.model(limits).solved()


def _more_daring(table: Table, plan: Plan) -> Iterator[Plan]:
    """Plans with fewer firings: that ask as much as the best trial load held, or that give up the
    emptiest."""
    limits = table.limits({k: v.best for k, v in table.fills.items()})
    choice = table.model(limits).solved()
    if choice.reached < table.score(plan)[:-1]:
        yield repaired(_packed(table, choice, table.groups)[0], table)
    yield lighter(plan, table)


def _less(limits: Sequence[Fill], short: Mapping[int, float], table: Table) -> list[Fill]:
    """Less room in the starts that were asked too much of; half as much less in those of the same
    kiln and program, to which the same pots would go else."""
    share = dict.fromkeys(range(len(limits)), 1.0)
    starts = table.week.starts
    for s, took in short.items():
        for other, start in enumerate(starts):
            if (start.kiln, start.program) == (starts[s].kiln, starts[s].program):
                share[other] = min(share[other], took if other == s else (1 + took) / 2)
    return [
        replace(each, volume=each.volume * share[s], area=each.area * share[s])
        for s, each in enumerate(limits)
    ]


def _packed(table: Table, choice: Choice, groups: Sequence[Group]) -> tuple[Plan, dict[int, float]]:
    """The loads of a choice by groups, and by start that could not take all: the share of what was
    asked that it took."""
    packer = table.packer
    asked = dealt(choice.flows, table.grouped(groups), packer)
    plan = {s: packer.packed(s, asked.get(s, ())) for s in sorted(choice.open)}
    short = {
        s: LESS * packer.filled(s, load.stood) / packer.filled(s, asked[s])
        for s, load in plan.items()
        if load.left
    }
    return plan, short


def _former(table: Table, before: Mapping[str, str]) -> Plan:
    """An earlier plan, as far as it still holds."""
    number = {start.id: s for s, start in enumerate(table.week.starts)}
    asked: dict[int, list[int]] = {s: [] for s in table.kept}
    for u, unit in enumerate(table.units):
        s = number.get(before.get(unit.pots[0].id, ""), -1)
        if s in unit.starts and table.may_light(s, asked):
            asked.setdefault(s, []).append(u)
    return repaired({s: table.packer.packed(s, asked[s]) for s in sorted(asked)}, table)
