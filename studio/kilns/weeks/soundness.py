"""Whether a week can be planned at all; what can't be is refused with every reason."""

from collections.abc import Iterable, Iterator

from studio.kilns.packing.soundness import kiln_troubles, piece_troubles
from studio.kilns.refusal import KilnRefused, Trouble

from .inputs import Week

MOST_POTS = 1000
MOST_STARTS = 400
"""Bounds the time and the memory of one plan."""


def refuse_troubles(week: Week) -> None:
    """Raises KilnRefused, at paths such as `starts.2.kiln`."""
    problems = [*_too_many(week), *_twice(week), *_start_troubles(week)] or list(_measures(week))
    if problems:
        raise KilnRefused(problems)


def _too_many(week: Week) -> Iterator[Trouble]:
    for path, many, most in (
        ("pots", week.pots, MOST_POTS),
        ("starts", week.starts, MOST_STARTS),
    ):
        if len(many) > most:
            yield Trouble(path, "too_many_in_week", {"count": len(many), "most": most})


def _twice(week: Week) -> Iterator[Trouble]:
    yield from _same("kilns", (each.id for each in week.kilns))
    yield from _same("starts", (each.id for each in week.starts))
    yield from _same("pots", (each.id for each in week.pots))
    yield from _same("starts", (name for start in week.starts for name in start.standing))


def _same(path: str, names: Iterable[str]) -> Iterator[Trouble]:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            yield Trouble(path, "same_id", {"id": name})
        seen.add(name)


def _measures(week: Week) -> Iterator[Trouble]:
    for kiln in week.kilns:
        yield from kiln_troubles(kiln.furniture)
    yield from piece_troubles([each.piece for each in week.pots])


def _start_troubles(week: Week) -> Iterator[Trouble]:
    kilns = {each.id for each in week.kilns}
    pots = {each.id for each in week.pots}
    for n, start in enumerate(week.starts):
        if start.kiln not in kilns:
            yield Trouble(f"starts.{n}.kiln", "unknown_kiln", {"id": start.kiln})
        if not start.lit_at < start.off_at <= start.unload_at:
            yield Trouble(f"starts.{n}.lit_at", "firing_order")
        if start.unload_at > week.until:
            yield Trouble("until", "until_too_early")
        for name in start.standing:
            if name not in pots:
                yield Trouble(f"starts.{n}.layers", "unknown_piece", {"id": name})
