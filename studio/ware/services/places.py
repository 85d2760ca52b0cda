"""The shelves, carts and cupboards of the room."""

from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.errors import Conflict
from studio.people.audit import record
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields, locked_studio
from studio.room.services.checking import check_name_free, require_staff
from studio.ware.models import Place, Pot


def add_place(*, studio: Studio, by: User, name: str, kind: str) -> Place:
    """One more place, with a name that its label shows."""
    require_staff(by, studio)
    place = Place(studio=studio, name=tidy(name), kind=kind)
    with transaction.atomic():
        locked_studio(studio)
        _check(place)
        place.save(force_insert=True)
        record(studio=studio, by=by, action="place added", subject=place, after=_shown(place))
    return place


def edit_place(*, place: Place, by: User, values: Mapping[str, str]) -> Place:
    """Another `name` or `kind`, whatever is left out stays; the address on its label stays good."""
    require_staff(by, place.studio)
    with transaction.atomic():
        kept = _locked(place)
        before = _shown(kept)
        kept.name = tidy(values.get("name", kept.name))
        kept.kind = values.get("kind", kept.kind)
        _check(kept)
        if (after := _shown(kept)) != before:
            kept.save(update_fields=["name", "kind"])
            record(
                studio=kept.studio,
                by=by,
                action="place edited",
                subject=kept,
                before=before,
                after=after,
            )
    return kept


def retire_place(*, place: Place, by: User) -> Place:
    """No longer offered. Refused while pots stand there."""
    require_staff(by, place.studio)
    with transaction.atomic():
        kept = _locked(place)
        if here := Pot.objects.alive().filter(place=kept).count():
            text = ngettext(
                "%(n)d pot stands here. Put it elsewhere first.",
                "%(n)d pots stand here. Put them elsewhere first.",
                here,
            )
            raise Conflict(text % {"n": here})
        _set_retired(kept, by, retired=True)
    return kept


def bring_back_place(*, place: Place, by: User) -> Place:
    """Offered again."""
    require_staff(by, place.studio)
    with transaction.atomic():
        kept = _locked(place)
        _set_retired(kept, by, retired=False)
    return kept


def _set_retired(place: Place, by: User, *, retired: bool) -> None:
    if place.retired == retired:
        return
    place.retired = retired
    place.save(update_fields=["retired"])
    action = "place retired" if retired else "place brought back"
    record(studio=place.studio, by=by, action=action, subject=place)


def _locked(place: Place) -> Place:
    locked_studio(place.studio)
    rows = Place.objects.select_for_update(of=("self",)).select_related("studio")
    return rows.get(pk=place.pk)


def _check(place: Place) -> None:
    check_fields(place)
    message = _("The studio has a place of this name already.")
    check_name_free(place, Place.objects.filter(studio=place.studio), message)


def _shown(place: Place) -> dict[str, str]:
    return {"name": place.name, "kind": place.kind}
