"""Firings that nobody planned yet and that would take what a plan leaves out."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from .answer import Answer, Firing
from .inputs import Start, Week
from .plan import plan_week
from .starts import in_the_way


def free_of(starts: Iterable[Start], taken: Iterable[Start], week: Week) -> tuple[Start, ...]:
    """Those that no firing that is `taken` stands in the way of."""
    taken = list(taken)
    # One that is taken may be a kiln that is no longer used.
    nothing: dict[str, frozenset[str]] = {each.kiln: frozenset() for each in taken}
    apart = nothing | {each.id: each.apart for each in week.kilns}
    return tuple(
        each for each in starts if not any(in_the_way(each, other, apart) for other in taken)
    )


def further_firings(
    week: Week,
    answer: Answer,
    free: Iterable[Start],
    *,
    each_load: Callable[[int], None] = lambda _packed: None,
) -> tuple[Firing, ...]:
    """As few of the `free` starts as take what the answer leaves out, each as early as can be.

    What is kept back or pinned stays out. Raises KilnRefused.
    """
    left = {each.id for each in answer.left_out}
    pots = tuple(each for each in week.pots if each.id in left)
    starts = tuple(free)
    if not pots or not starts:
        return ()
    until = max(week.until, *(each.unload_at for each in starts))
    asked = replace(week, starts=starts, pots=pots, until=until)
    firings = list(plan_week(asked, each_load=each_load).firings)
    ready = {each.id: each.ready for each in pots}
    for n, firing in enumerate(firings):
        others = [each.start for each in (*firings[:n], *firings[n + 1 :])]
        since = max(ready[name] for name in firing.pots)
        same = (
            each
            for each in free_of(starts, others, week)
            if (each.kiln, each.program) == (firing.start.kiln, firing.start.program)
            and each.lit_at >= since
        )
        # A firing that is lit earlier makes no pot late.
        firings[n] = replace(firing, start=min(same, key=lambda each: each.lit_at))
    return tuple(sorted(firings, key=lambda each: each.start.lit_at))
