"""Plans put right: what is left goes where there is room, each time the whole load packed anew; and
a firing whose pots fit into others isn't lit."""

from collections.abc import Iterable

from .loads import FULLER
from .table import Plan, Table

PASSES = 2


def repaired(plan: Plan, table: Table) -> Plan:
    """A load is changed where that makes the plan better. Starts without a pot are not lit."""
    plan = {s: load for s, load in plan.items() if load.stood or s in table.kept}
    for _ in range(PASSES):
        before = table.score(plan)
        for s in _in_turn(plan, table):
            _filled_up(plan, s, table)
        if not table.left(plan) or table.score(plan) >= before:
            break
    return dict(sorted(plan.items()))


def lighter(plan: Plan, table: Table) -> Plan:
    """Firings whose pots all fit into others, none of them later than it may be, are given up:
    the emptiest first."""
    for s in sorted(plan, key=lambda s: (table.packer.filled(s, plan[s].stood), s)):
        if s in table.kept or not _may_move(plan, s, table):
            continue
        without = {other: load for other, load in plan.items() if other != s}
        for other in sorted(without, key=lambda other: -table.room_left(other, without[other])):
            _filled_up(without, other, table)
        if table.score(without) < table.score(plan):
            plan = without
    return plan


def _may_move(plan: Plan, start: int, table: Table) -> bool:
    """Whether the rooms left in other firings add up to what each of its pots needs."""
    left = {s: table.room_left(s, load) for s, load in plan.items() if s != start}
    for u in sorted(plan[start].stood, key=lambda u: -table.packer.added(start, u)):
        into = max(
            (s for s in table.units[u].starts if s in left), key=left.__getitem__, default=None
        )
        if into is None:
            return False
        left[into] -= table.packer.added(into, u)
        if left[into] < 0:
            return False
    return True


def _in_turn(plan: Plan, table: Table) -> list[int]:
    """Starts into which something that is left may go: those lit already, the emptiest first, then
    those in which fewest would be late."""
    waiting = table.left(plan)
    useful = {s for u in waiting for s in table.units[u].starts}

    def dear(s: int) -> tuple[float, ...]:
        out = table.week.starts[s].unload_at
        may = [table.units[u] for u in waiting if s in table.units[u].starts]
        full = table.packer.filled(s, plan[s].stood) if s in plan else 0.0
        late = sum(each.late(out) + each.after_glaze_day(out) for each in may)
        return s not in plan, late, full, -len(may), s

    return sorted(useful, key=dear)


def _filled_up(plan: Plan, start: int, table: Table) -> None:
    if table.packer.is_spent or (start not in plan and not table.may_light(start, plan)):
        return
    stood = plan[start].stood if start in plan else ()
    room = FULLER * table.most(start)
    more = list(_that_go(table, start, table.left(plan), room - table.packer.filled(start, stood)))
    if not more:
        return
    for asked in ((*stood, *more), (*stood, more[0])):
        tried = {**plan, start: table.packer.packed(start, asked)}
        if table.score(tried) < table.score(plan):
            plan[start] = tried[start]
            return
        if len(more) == 1:
            return


def _that_go(table: Table, start: int, waiting: Iterable[int], room: float) -> Iterable[int]:
    for u in waiting:
        if start in table.units[u].starts:
            room -= table.packer.added(start, u)
            if room < 0:
                return
            yield u
