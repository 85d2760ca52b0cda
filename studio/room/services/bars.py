"""Test bars: made, measured as they dry and are fired, and their means put into the clay body."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from studio.errors import Conflict, Problem, Refused
from studio.people.audit import Change, record, record_all
from studio.people.models import User
from studio.people.names import tidy
from studio.people.services.checking import check_fields
from studio.room.models import ClayBody, ShrinkageBar
from studio.room.selectors.bars import next_mark
from studio.room.shrinkage import Doubt, doubts

from .bodies import locked_body
from .checking import check_cone, differences, require_staff

LATER = ("dry_mm", "fired_mm", "wet_g", "dry_g", "fired_g")
EDITABLE = ("mark", "made_on", "wet_mm", *LATER, "cone", "left_out")
MOST_AT_ONCE = 30

_AGAIN = {
    Doubt.GREW_DRYING: gettext_lazy(
        "Clay doesn't grow as it dries, and this is longer than the wet length. Measure between "
        "the same two marks again."
    ),
    Doubt.GREW_FIRING: gettext_lazy(
        "This is longer than before the kiln. Measure between the same two marks again; a bar "
        "that bent is left out."
    ),
    Doubt.SHRANK_DRYING: gettext_lazy(
        "That would be more than 20 % in drying; clay bodies lose 3 to 8 %. Measure between the "
        "same two marks again."
    ),
    Doubt.SHRANK_FIRED: gettext_lazy(
        "That would be more than 25 % in all; clay bodies lose 5 to 16 %. Measure between the "
        "same two marks again."
    ),
    Doubt.HEAVIER_DRY: gettext_lazy(
        "A dry bar is lighter than it was wet. Weigh it again, and compare with its wet mass."
    ),
    Doubt.HEAVIER_FIRED: gettext_lazy(
        "A bar is lighter after the kiln. Weigh it again, and compare with its mass before."
    ),
    Doubt.WATER: gettext_lazy(
        "That would be more than 40 % water in the wet clay; it holds 18 to 25 %. Weigh it again, "
        "and compare with its wet mass."
    ),
    Doubt.IGNITION: gettext_lazy(
        "That would be more than 30 % lost in the kiln; bodies lose 4 to 15 %. Weigh it again, and "
        "compare with its dry mass."
    ),
}


def add_bars(
    *, body: ClayBody, by: User, bars: Sequence[Mapping[str, Any]], today: date
) -> list[ShrinkageBar]:
    """Several bars at once, all or none. Each has values for some names of `EDITABLE`, at least
    `wet_mm` and `made_on`; a bar without a mark gets the next number. Problems are at
    `bars.0.dry_mm` and so on.
    """
    require_staff(by, body.studio)
    if not 1 <= len(bars) <= MOST_AT_ONCE:
        message = _("Give between one and %(most)s bars at once.") % {"most": MOST_AT_ONCE}
        raise Refused(message, field="bars")
    with transaction.atomic():
        kept = locked_body(body)
        marks = list(kept.bars.values_list("mark", flat=True))
        made: list[ShrinkageBar] = []
        problems: list[Problem] = []
        for place, values in enumerate(bars):
            bar = ShrinkageBar(body=kept, made_by=by)
            _set(bar, values)
            bar.mark = bar.mark or str(next_mark(marks))
            problems += _at(place, _problems(bar, marks, today))
            marks.append(bar.mark)
            made.append(bar)
        _refuse(problems)
        ShrinkageBar.objects.bulk_create(made)
        changes: list[Change] = [(bar, {}, _shown(bar)) for bar in made]
        record_all(studio=kept.studio, by=by, action="test bar added", changes=changes)
    return made


def measure_bars(
    *, body: ClayBody, by: User, measured: Mapping[UUID, Mapping[str, Any]], today: date
) -> list[ShrinkageBar]:
    """What bars of this body were measured to be since, all or none: values for names of `LATER`
    and the cone. It fills gaps only; a figure that somebody gave in the meantime is a `Conflict`.
    """
    require_staff(by, body.studio)
    with transaction.atomic():
        kept = locked_body(body)
        held = {bar.pk: bar for bar in kept.bars.select_for_update().order_by("pk")}
        bars = [held[pk] for pk in measured if pk in held]
        changes: list[Change] = []
        problems: list[Problem] = []
        for place, bar in enumerate(bars):
            values = measured[bar.pk]
            before = _shown(bar)
            _check_gaps(bar, values)
            _set(bar, values)
            problems += _at(place, _problems(bar, (), today))
            was, now = differences(before, _shown(bar))
            changes += [(bar, was, now)] if now else []
        _refuse(problems)
        ShrinkageBar.objects.bulk_update(bars, [*LATER, "cone"])
        record_all(studio=kept.studio, by=by, action="test bar measured", changes=changes)
    return bars


def edit_bar(
    *, bar: ShrinkageBar, by: User, values: Mapping[str, Any], today: date
) -> ShrinkageBar:
    """Put right whatever is wrong, or leave the bar out with the reason. What is left out of
    `values` stays.
    """
    require_staff(by, bar.body.studio)
    with transaction.atomic():
        body = locked_body(bar.body)
        bars = ShrinkageBar.objects.select_for_update(of=("self",))
        kept = bars.select_related("body__studio", "made_by").get(pk=bar.pk)
        before = _shown(kept)
        _set(kept, values)
        others = list(body.bars.exclude(pk=kept.pk).values_list("mark", flat=True))
        _refuse(_problems(kept, others, today))
        was, now = differences(before, _shown(kept))
        if now:
            kept.save(update_fields=[*now])
            record(
                studio=body.studio,
                by=by,
                action="test bar edited",
                subject=kept,
                before=was,
                after=now,
            )
    return kept


def _set(bar: ShrinkageBar, values: Mapping[str, Any]) -> None:
    for name in EDITABLE:
        if name in values:
            value = values[name]
            setattr(bar, name, tidy(value) if isinstance(value, str) else value)


def _check_gaps(bar: ShrinkageBar, values: Mapping[str, Any]) -> None:
    for name in LATER:
        old, new = getattr(bar, name), values.get(name)
        if old is not None and new is not None and old != new:
            message = _("Bar %(mark)s has been measured meanwhile. Look at the log again.")
            raise Conflict(message % {"mark": bar.mark})


def _problems(bar: ShrinkageBar, marks: Sequence[str], today: date) -> Iterator[Problem]:
    """All that is wrong with one bar; `marks` are those of the others."""
    try:
        check_fields(bar, but=("body", "made_by"))
        if bar.cone:
            check_cone(bar.cone, field="cone")
    except Refused as refusal:
        yield from refusal.problems
        return
    if bar.mark.casefold() in {mark.casefold() for mark in marks}:
        message = _("Another bar of this clay has the mark “%(mark)s”. Scratch in another one.")
        yield Problem(message % {"mark": bar.mark}, "mark")
    if bar.made_on > today:
        yield Problem(_("This day is still to come."), "made_on")
    if bar.fired_mm is not None and not bar.cone:
        yield Problem(_("To which cone was it fired? Shrinkage hangs on it."), "cone")
    for name, doubt in doubts(bar):
        yield Problem(str(_AGAIN[doubt]), name)


def _at(place: int, problems: Iterator[Problem]) -> list[Problem]:
    return [Problem(each.message, f"bars.{place}.{each.field}") for each in problems]


def _refuse(problems: Sequence[Problem] | Iterator[Problem]) -> None:
    if listed := list(problems):
        raise Refused.all_of(listed)


def _shown(bar: ShrinkageBar) -> dict[str, Any]:
    """For the audit line."""
    values = {name: getattr(bar, name) for name in EDITABLE}
    return values | {"made_on": bar.made_on.isoformat()}
