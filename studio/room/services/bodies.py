"""Clay bodies: what the studio builds with."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.audit import record
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields, locked_studio
from studio.room.models import ClayBody

from .checking import check_cone, check_name_free, differences, require_staff

FIGURES = (
    "wet_density_g_per_cm3",
    "water_pct_wet_basis",
    "drying_shrinkage_pct",
    "total_shrinkage_pct",
    "loss_on_ignition_pct",
)
EDITABLE = ("name", "cone", *FIGURES, "source")


def add_body(*, studio: Studio, by: User, body: Mapping[str, Any]) -> ClayBody:
    """A clay body; `body` has a value for each name of `EDITABLE`."""
    require_staff(by, studio)
    made = ClayBody(studio=studio)
    _set(made, body)
    with transaction.atomic():
        locked_studio(studio)
        _check(made)
        made.save(force_insert=True)
        _record(made, by, "clay body added", {}, _shown(made))
    return made


def edit_body(*, body: ClayBody, by: User, values: Mapping[str, Any]) -> ClayBody:
    """New figures count for plans sent from now on; sent ones keep theirs."""
    require_staff(by, body.studio)
    with transaction.atomic():
        kept = locked_body(body)
        return change_body(body=kept, by=by, values=values, action="clay body edited")


def change_body(*, body: ClayBody, by: User, values: Mapping[str, Any], action: str) -> ClayBody:
    """For services that hold the body: set, check, write, and leave a line that says why."""
    before = _shown(body)
    _set(body, values)
    _check(body)
    was, now = differences(before, _shown(body))
    if now:
        body.save(update_fields=[*now])
        _record(body, by, action, was, now)
    return body


def retire_body(*, body: ClayBody, by: User) -> ClayBody:
    """No longer offered for new briefs; classes that build with it go on."""
    return _set_retired(body, by, retired=True)


def bring_back_body(*, body: ClayBody, by: User) -> ClayBody:
    """Offered again."""
    return _set_retired(body, by, retired=False)


def locked_body(body: ClayBody) -> ClayBody:
    """The body, held until the transaction ends, and with it its test bars."""
    locked_studio(body.studio)
    bodies = ClayBody.objects.select_for_update(of=("self",))
    return bodies.select_related("studio").get(pk=body.pk)


def _set(body: ClayBody, values: Mapping[str, Any]) -> None:
    for name in EDITABLE:
        if name in values:
            value = values[name]
            setattr(body, name, tidy(value) if isinstance(value, str) else _figure(value))


def _figure(value: Decimal | float) -> Decimal:
    # As a data sheet gives it: 0.1 + 0.2 is 0.3 there.
    return value if isinstance(value, Decimal) else Decimal(str(value))


def _check(body: ClayBody) -> None:
    check_fields(body)
    if body.cone:
        check_cone(body.cone, field="cone")
    if body.total_shrinkage_pct < body.drying_shrinkage_pct:
        message = _(
            "Total shrinkage counts from wet to fired, so it is at least the drying shrinkage."
        )
        raise Refused(message, field="total_shrinkage_pct")
    message = _("The studio has a clay body of this name already.")
    check_name_free(body, ClayBody.objects.filter(studio=body.studio), message)


def _set_retired(body: ClayBody, by: User, *, retired: bool) -> ClayBody:
    require_staff(by, body.studio)
    with transaction.atomic():
        kept = locked_body(body)
        if kept.retired != retired:
            kept.retired = retired
            kept.save(update_fields=["retired"])
            _record(kept, by, "clay body retired" if retired else "clay body brought back", {}, {})
    return kept


def _shown(body: ClayBody) -> dict[str, str]:
    """For the audit line. Figures are compared as numbers: 6 and 6.00 are the same."""
    return {
        name: f"{getattr(body, name):.2f}" if name in FIGURES else getattr(body, name)
        for name in EDITABLE
    }


def _record(
    body: ClayBody, by: User, action: str, before: dict[str, str], after: dict[str, str]
) -> None:
    record(studio=body.studio, by=by, action=action, subject=body, before=before, after=after)
