"""Clay comes back: from one pot, or as the bucket of a class at the end of a lesson."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import Entry, EntryKind, Lot, LotKind
from studio.clay.selectors.pots import issued_from, issued_to
from studio.errors import Refused
from studio.people.models import Section, Studio, User
from studio.room.models import ClayBody
from studio.room.services.checking import require_staff
from studio.ware.models import Pot
from studio.web.shown import mass_text

from .issuing import locked_pots
from .posting import locked_lot, post, require_hands_out, whole_grams


def return_clay(*, pot: Pot, lot: Lot | None, grams: float, by: User, at: datetime) -> Entry:
    """What is left of a pot's clay: back to the `lot` that it came from where it is fit to use,
    else (None) to what is to be reclaimed. Never more than the pot got.
    """
    require_hands_out(by, pot.piece.assignment.section)
    back_g = whole_grams(grams)
    with transaction.atomic():
        [kept] = locked_pots([pot])
        _check_not_more(kept, lot, back_g)
        if lot is None:
            to = _returned_lot(kept.studio, kept.piece.assignment.clay_body, at)
        else:
            to = locked_lot(lot)
        return post(lot=to, kind=EntryKind.RETURN, grams=back_g, by=by, at=at, pot=kept)


def return_bucket(
    *,
    section: Section,
    body: ClayBody,
    grams: float,
    by: User,
    at: datetime,
    mixed: bool = False,
) -> Entry:
    """The leftovers of a class, weighed once; they are reclaimed before they are used again.

    `mixed`: clay of several bodies lies in it. Then it goes to a lot that is marked so and never
    becomes clay for pots, and `body` is the one of them that fires lowest.
    """
    require_hands_out(by, section)
    require_staff(by, body.studio)
    back_g = whole_grams(grams)
    with transaction.atomic():
        lot = _returned_lot(section.studio, body, at, mixed=mixed)
        return post(lot=lot, kind=EntryKind.RETURN, grams=back_g, by=by, at=at, section=section)


def _check_not_more(pot: Pot, lot: Lot | None, back_g: int) -> None:
    out_g = issued_to([pot.pk]).get(pot.pk, 0)
    if lot is not None:
        out_g = min(out_g, issued_from(lot).get(pot.pk, 0))
    if back_g > out_g:
        words = {"code": pot.code, "out": mass_text(max(0, out_g), pot.studio)}
        message = _("%(code)s has %(out)s out; no more than that can come back from it.")
        if lot is not None:
            message = _("%(code)s has %(out)s out of %(lot)s; no more than that can go back to it.")
            words["lot"] = str(lot)
        raise Refused(message % words, field="grams")


def _returned_lot(studio: Studio, body: ClayBody, at: datetime, *, mixed: bool = False) -> Lot:
    """The one lot of what came back of this body, held; made when there is none. What is mixed
    lies apart.
    """
    # Held, so that two buckets at the same moment make one lot.
    ClayBody.objects.select_for_update(no_key=True).get(pk=body.pk)
    returned = Lot.objects.filter(studio=studio, body=body, kind=LotKind.RETURNED, mixed=mixed)
    there = returned.first()
    if there is None:
        today = at.astimezone(studio.zone).date()
        there = Lot.objects.create(
            studio=studio, body=body, kind=LotKind.RETURNED, mixed=mixed, came_on=today
        )
    return locked_lot(there)
