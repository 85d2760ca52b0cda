"""The one way to move clay: an entry and its lot's balance, together, under the lot's lock.

Whoever locks more than one thing does it in this order: pieces, pots, clay bodies, lots; several
of a kind by their keys. Two people who want the same lots then wait in a row instead of for each
other.
"""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils.translation import gettext as _

from studio.clay.models import Entry, EntryKind, Lot, LotKind
from studio.errors import Refused
from studio.people.audit import record
from studio.people.models import Section, Studio, User
from studio.room.models import ClayBody
from studio.units.scales import Metric, Units, exact
from studio.ware.models import Pot
from studio.web.shown import mass_text

MOST_G = 10_000_000
"""Ten tonnes: beyond any clay room, and a slip of the decimal point."""

_ACTIONS = {
    EntryKind.DELIVERY: "clay delivered",
    EntryKind.ISSUE: "clay issued",
    EntryKind.RETURN: "clay returned",
    EntryKind.RECLAIM: "clay reclaimed",
    EntryKind.WRITE_OFF: "clay written off",
    EntryKind.CORRECTION: "clay entry reversed",
}


def require_hands_out(by: User, section: Section) -> None:
    """A teacher hands clay to their own classes; a technician and a head to all."""
    if not by.is_staff or not Section.objects.visible_to(by).filter(pk=section.pk).exists():
        raise PermissionDenied


def whole_grams(grams: float, field: str = "grams") -> int:
    """The weight as the ledger keeps it. Raises `Refused` for what no scale can show."""
    # A comparison with what is no number is false, so that goes the same way.
    if not 0.5 <= grams <= MOST_G:  # noqa: PLR2004 -- rounds to a gram
        message = _("Type a weight of at least 1 g and at most 10 tonnes.")
        raise Refused(message, field=field)
    return int(exact(grams).to_integral_value(rounding="ROUND_HALF_UP"))


def locked_lots(lots: Iterable[Lot]) -> dict[UUID, Lot]:
    """These lots as they are now, held until the transaction ends."""
    rows = (
        Lot.objects.select_for_update(of=("self",))
        .select_related("body", "studio")
        .filter(pk__in={lot.pk for lot in lots})
        .order_by("pk")
    )
    return {lot.pk: lot for lot in rows}


def locked_lot(lot: Lot) -> Lot:
    """One lot, held."""
    return locked_lots([lot])[lot.pk]


def check_to_build_with(lot: Lot, studio: Studio, field: str = "lot") -> None:
    """Clay of this studio that isn't waiting to be reclaimed."""
    if lot.studio_id != studio.pk:
        raise PermissionDenied
    if lot.kind == LotKind.RETURNED:
        message = _("This clay came back and is to be reclaimed first. Choose another lot.")
        raise Refused(message, field=field)


def check_body(lot: Lot, body: ClayBody, field: str = "lot") -> None:
    """Two bodies shrink differently, and the plan's weight and size were computed for one."""
    if lot.mixed:
        message = _(
            "This clay is of several bodies: it cracks as it dries and may melt in the kiln. It is "
            "for practice only. Take %(wanted)s for a pot."
        )
        raise Refused(message % {"wanted": body}, field=field)
    if lot.body_id != body.pk:
        message = _(
            "This plan was computed for %(wanted)s, and this lot is %(lot)s. Take %(wanted)s, or "
            "issue to the class."
        )
        raise Refused(message % {"wanted": body, "lot": lot.body}, field=field)


def too_little(lot: Lot, left_g: int, asked_g: int, field: str = "grams") -> Refused:
    """The sentence for a lot that doesn't hold what was asked."""
    if left_g <= 0:
        message = _("Nothing is left of %(lot)s. Take it from another lot.")
        return Refused(message % {"lot": lot}, field=field)
    units: Units = lot.studio
    if mass_text(left_g, units) == mass_text(asked_g, units):
        units = Metric()  # they differ by less than this studio's scale shows
    message = _(
        "There are %(left)s left of %(lot)s; you asked for %(asked)s. Take the rest from another "
        "lot."
    )
    words = {"left": mass_text(left_g, units), "asked": mass_text(asked_g, units), "lot": lot}
    return Refused(message % words, field=field)


def post(
    *,
    lot: Lot,
    kind: EntryKind,
    grams: int,
    by: User,
    at: datetime,
    pot: Pot | None = None,
    section: Section | None = None,
    table: str = "",
    planned_g: float | None = None,
    reverses: Entry | None = None,
    made_from: Entry | None = None,
    reason: str = "",
    field: str = "grams",
) -> Entry:
    """One line of the ledger; the lot is held by `locked_lots`. Clay that comes in counts up.

    Raises `Refused` at `field` where the lot holds less than what goes out.
    """
    before_g = lot.balance_g
    if before_g + grams < 0:
        raise too_little(lot, before_g, -grams, field)
    _change_balance(lot, grams, field)
    entry = Entry.objects.create(
        studio=lot.studio,
        lot=lot,
        kind=kind,
        grams=grams,
        balance_after_g=lot.balance_g,
        pot=pot,
        section=section,
        table=table,
        planned_g=planned_g,
        reverses=reverses,
        made_from=made_from,
        reason=reason,
        at=at,
        by=by,
    )
    record(
        studio=lot.studio,
        by=by,
        action=_ACTIONS[kind],
        subject=entry,
        before={"balance_g": before_g},
        after={"balance_g": lot.balance_g, "lot": str(lot.pk), "reason": reason},
    )
    return entry


def _change_balance(lot: Lot, grams: int, field: str) -> None:
    before_g = lot.balance_g
    try:
        with transaction.atomic():
            # Added to what the row holds: were the lock ever lost, the sum would still be right
            # and the table's own check would refuse to go below nothing.
            Lot.objects.filter(pk=lot.pk).update(balance_g=F("balance_g") + grams)
    except IntegrityError:
        lot.refresh_from_db(fields=["balance_g"])
        raise too_little(lot, lot.balance_g, -grams, field) from None
    lot.balance_g = before_g + grams
