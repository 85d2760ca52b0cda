"""Glazes: what their labels say, and what a laboratory said of the studio's own ware."""

from collections.abc import Mapping
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.audit import record
from studio.people.models import Role, Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields, locked_studio
from studio.room.cones import heat_of
from studio.room.models import Glaze

from .checking import check_cone, check_name_free, differences, require_staff

EDITABLE = ("name", "cone_from", "cone_to", "runs", "food_statement", "hazard_note")


def add_glaze(*, studio: Studio, by: User, glaze: Mapping[str, Any]) -> Glaze:
    """A glaze; `glaze` has a value for each name of `EDITABLE`. It isn't for food."""
    require_staff(by, studio)
    made = Glaze(studio=studio)
    _set(made, glaze)
    with transaction.atomic():
        locked_studio(studio)
        _check(made)
        made.save(force_insert=True)
        _record(made, by, "glaze added", {}, _shown(made))
    return made


def edit_glaze(*, glaze: Glaze, by: User, values: Mapping[str, Any]) -> Glaze:
    """Other words of the label. Another cone range takes the leach test back: it was made on ware
    fired as the label said then.
    """
    require_staff(by, glaze.studio)
    with transaction.atomic():
        kept = _locked(glaze)
        before = _shown(kept) | {"leach_test": kept.leach_test}
        _set(kept, values)
        _check(kept)
        if any(getattr(kept, name) != before[name] for name in ("cone_from", "cone_to")):
            kept.leach_test = ""
        was, now = differences(before, _shown(kept) | {"leach_test": kept.leach_test})
        if now:
            kept.save(update_fields=[*now])
            _record(kept, by, "glaze edited", was, now)
    return kept


def record_leach_test(*, glaze: Glaze, by: User, result: str) -> Glaze:
    """What a laboratory found on this studio's fired ware; empty takes it back. Only a head or a
    technician answers for it.
    """
    require_staff(by, glaze.studio)
    if by.role not in {Role.HEAD, Role.TECHNICIAN}:
        raise PermissionDenied
    with transaction.atomic():
        kept = _locked(glaze)
        before, kept.leach_test = kept.leach_test, tidy(result)
        check_fields(kept)
        if kept.leach_test != before:
            kept.save(update_fields=["leach_test"])
            was, now = {"leach_test": before}, {"leach_test": kept.leach_test}
            _record(kept, by, "leach test recorded", was, now)
    return kept


def retire_glaze(*, glaze: Glaze, by: User) -> Glaze:
    """No longer on the shelf; pots that have it keep it."""
    return _set_retired(glaze, by, retired=True)


def bring_back_glaze(*, glaze: Glaze, by: User) -> Glaze:
    """On the shelf again."""
    return _set_retired(glaze, by, retired=False)


def _locked(glaze: Glaze) -> Glaze:
    locked_studio(glaze.studio)
    glazes = Glaze.objects.select_for_update(of=("self",))
    return glazes.select_related("studio").get(pk=glaze.pk)


def _set(glaze: Glaze, values: Mapping[str, Any]) -> None:
    for name in EDITABLE:
        if name in values:
            value = values[name]
            setattr(glaze, name, tidy(value) if isinstance(value, str) else value)


def _check(glaze: Glaze) -> None:
    check_fields(glaze)
    check_cone(glaze.cone_from, field="cone_from")
    check_cone(glaze.cone_to, field="cone_to")
    if heat_of(glaze.cone_from) > heat_of(glaze.cone_to):
        message = _("Cone %(hot)s is hotter than cone %(cool)s. Give the cooler cone first.")
        words = {"hot": glaze.cone_from, "cool": glaze.cone_to}
        raise Refused(message % words, field="cone_to")
    message = _("The studio has a glaze of this name already.")
    check_name_free(glaze, Glaze.objects.filter(studio=glaze.studio), message)


def _set_retired(glaze: Glaze, by: User, *, retired: bool) -> Glaze:
    require_staff(by, glaze.studio)
    with transaction.atomic():
        kept = _locked(glaze)
        if kept.retired != retired:
            kept.retired = retired
            kept.save(update_fields=["retired"])
            _record(kept, by, "glaze retired" if retired else "glaze brought back", {}, {})
    return kept


def _shown(glaze: Glaze) -> dict[str, Any]:
    return {name: getattr(glaze, name) for name in EDITABLE}


def _record(
    glaze: Glaze, by: User, action: str, before: dict[str, Any], after: dict[str, Any]
) -> None:
    record(studio=glaze.studio, by=by, action=action, subject=glaze, before=before, after=after)
