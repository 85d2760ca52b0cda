"""What the services of ware share: whose pots, held until the transaction ends."""

from collections.abc import Iterable, Sequence
from typing import Any

from django.core.exceptions import PermissionDenied
from django.utils.translation import gettext as _

from studio.errors import Problem, Refused
from studio.people.audit import Change, record_all
from studio.people.models import Studio, User
from studio.ware.models import Pot


def require_staff(by: User) -> None:
    """Students say what they did to their own pot; what is judged is for staff."""
    if not by.is_staff:
        raise PermissionDenied


def locked_pots(pots: Iterable[Pot], by: User, *, in_kiln: bool = False) -> list[Pot]:
    """These pots as they are now, each once, locked in the order of their keys so that two people
    with the same cart never wait for each other. Raises `PermissionDenied` for one that the
    person doesn't see; a student sees their own.

    `in_kiln`: they stand in a kiln, which the classes share, so any staff of the studio may.
    """
    wanted = {pot.pk for pot in pots}
    if not wanted:
        raise Refused(_("Choose at least one pot."), field="pots")
    shared = in_kiln and by.is_staff
    seen = Pot.objects.filter(studio=by.studio_id) if shared else Pot.objects.visible_to(by)
    rows = (
        seen.filter(pk__in=wanted)
        .select_related("piece__student", "place", "studio")
        .select_for_update(of=("self",))
        .order_by("pk")
    )
    found = list(rows)
    if len(found) < len(wanted):
        raise PermissionDenied
    return found


def locked_pot(pot: Pot, by: User) -> Pot:
    """One pot, held."""
    [found] = locked_pots([pot], by)
    return found


def refuse_lost(pots: Sequence[Pot]) -> None:
    """Nothing more happens to a pot that broke or is missing."""
    refuse_each(
        _("%(code)s is %(lost)s. If it is here after all, say first that it was found.")
        % {"code": pot.code, "lost": pot.get_lost_display()}
        for pot in pots
        if pot.lost
    )


def refuse_each(sentences: Iterable[str], field: str = "pots") -> None:
    """All of them at once, so that a cart is sorted out in one go; nothing where there are none."""
    if problems := [Problem(sentence, field) for sentence in sentences]:
        raise Refused.all_of(problems)


def note_changes(
    *, studio: Studio, by: User, action: str, changes: Iterable[tuple[Pot, Any, Any]]
) -> None:
    """An audit line for each pot."""
    listed: list[Change] = [(pot, before, after) for pot, before, after in changes]
    record_all(studio=studio, by=by, action=action, changes=listed)
