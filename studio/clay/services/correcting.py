"""A mistake in the ledger is put right by an entry the other way round; both stay to be read."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import Batch, Entry, EntryKind, Lot
from studio.clay.selectors.pots import issued_from, issued_to
from studio.errors import Conflict, Refused
from studio.people.models import User
from studio.web.shown import mass_text

from .checking import checked_reason
from .issuing import locked_pots
from .posting import locked_lots, post


def correct(*, entry: Entry, reason: str, by: User, at: datetime) -> Entry:
    """Take an entry back by its reverse, once. Both halves of a reclaim go back together.

    Refused where the clay has gone on meanwhile, so that the lot would be below nothing.
    """
    if not Entry.objects.correctable_by(by).filter(pk=entry.pk).exists():
        raise PermissionDenied
    why = checked_reason(reason)
    with transaction.atomic():
        together = _together(entry)
        locked_pots(each.pot for each in together if each.pot is not None)
        lots = locked_lots(each.lot for each in together)
        # Read under the lots' lock: whoever came first has written the reverse by now.
        _check_open(together)
        _check_nothing_came_back(entry)
        reversed_by = {each.pk: _reverse(each, lots[each.lot_id], why, by, at) for each in together}
    return reversed_by[entry.pk]


def _together(entry: Entry) -> list[Entry]:
    both = Entry.objects.filter(pk=entry.pk)
    both |= Entry.objects.filter(made_from=entry.pk) | Entry.objects.filter(made_into=entry.pk)
    return list(both.select_related("lot", "pot", "section").order_by("grams"))


def _check_open(entries: list[Entry]) -> None:
    if any(each.kind == EntryKind.CORRECTION for each in entries):
        message = _("A correction is not corrected. Enter what is right as a new movement.")
        raise Refused(message, field="entry")
    if Batch.objects.filter(out__in=entries, thrown_away_at__isnull=False).exists():
        message = _("This clay was thrown away while it dried, so it can't go back.")
        raise Refused(message, field="entry")
    if Entry.objects.filter(reverses__in=entries).exists():
        raise Conflict(_("This entry was corrected already."), field="entry")


def _check_nothing_came_back(entry: Entry) -> None:
    """An issue isn't undone under clay that came back from its pot: it would count twice."""
    if entry.pot is None or entry.kind != EntryKind.ISSUE:
        return
    pot = entry.pot.pk
    out_g = min(issued_to([pot]).get(pot, 0), issued_from(entry.lot).get(pot, 0))
    if out_g < -entry.grams:
        raise Refused(
            _("Some of this clay came back from the pot since. Correct that return first."),
            field="entry",
        )


def _reverse(entry: Entry, lot: Lot, reason: str, by: User, at: datetime) -> Entry:
    if lot.balance_g < entry.grams:
        message = _(
            "%(grams)s of this are needed in %(lot)s, where only %(left)s are left: some of it has "
            "gone out since. Correct those entries first."
        )
        words = {
            "grams": mass_text(entry.grams, lot.studio),
            "left": mass_text(lot.balance_g, lot.studio),
            "lot": lot,
        }
        raise Refused(message % words, field="entry")
    return post(
        lot=lot,
        kind=EntryKind.CORRECTION,
        grams=-entry.grams,
        by=by,
        at=at,
        pot=entry.pot,
        section=entry.section,
        table=entry.table,
        planned_g=entry.planned_g,
        reverses=entry,
        reason=reason,
    )
