"""The means of test bars put into the clay body, and the words that say where they come from."""

from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from studio.errors import Refused
from studio.people.models import User
from studio.room.measuring import tenth
from studio.room.models import ClayBody
from studio.room.selectors.bars import bar_groups
from studio.room.shrinkage import Figures, Spread
from studio.web.columns import column
from studio.web.shown import number_text

from .bodies import change_body, locked_body
from .checking import require_staff


def use_bars(*, body: ClayBody, by: User, cone: str, on: date) -> ClayBody:
    """The body's drying and total shrinkage become the means of the bars fired to this cone, and
    where bars were weighed, its water and loss on ignition too. Sent plans keep theirs.
    """
    require_staff(by, body.studio)
    with transaction.atomic():
        kept = locked_body(body)
        figures = _figures(kept, cone)
        values = figures_for_body(figures) | {
            "cone": cone,
            "source": _with_the_rest(_source(figures, cone, on), kept.source),
        }
        action = "clay body figures taken from test bars"
        return change_body(body=kept, by=by, values=values, action=action)


def figures_for_body(figures: Figures) -> dict[str, Decimal]:
    """Which columns of a clay body bars can fill, to the tenth that five bars are good for."""
    of = {
        "drying_shrinkage_pct": figures.drying,
        "total_shrinkage_pct": figures.total,
        "water_pct_wet_basis": figures.water,
        "loss_on_ignition_pct": figures.ignition,
    }
    return {name: tenth(spread.mean) for name, spread in of.items() if spread}


def _figures(body: ClayBody, cone: str) -> Figures:
    """Those of the bars fired to this cone. Raises `Refused` where they can't be the body's."""
    group = next((each for each in bar_groups(body) if each.cone == cone and cone), None)
    if group is None or not group.figures.total:
        message = _("No bar that counts was fired to cone %(cone)s.") % {"cone": cone}
        raise Refused(message, field="cone")
    if not group.fits_body:
        message = _(
            "This body is fired to cone %(body)s, and these bars were fired to cone %(bars)s. Fire "
            "bars to its cone, or change the cone of the body first."
        )
        raise Refused(message % {"body": body.cone, "bars": cone}, field="cone")
    if not group.figures.drying:
        message = _("None of these bars was measured dry, so the drying shrinkage isn't known.")
        raise Refused(message, field="cone")
    return group.figures


def _source(figures: Figures, cone: str, on: date) -> str:
    """Such as "Mean of 5 test bars fired to cone 6, ±0.3, 3 Nov 2026 (water from 3)."."""
    bars = figures.total.bars if figures.total else 0
    text = ngettext(
        "One test bar fired to cone %(cone)s",
        "Mean of %(bars)s test bars fired to cone %(cone)s",
        bars,
    ) % {"bars": number_text(bars), "cone": cone}
    if figures.total and figures.total.deviation is not None:
        text = f"{text}, ±{number_text(tenth(figures.total.deviation))}"
    return f"{text}, {_day(on)}{_of_others(figures, bars)}."


def _of_others(figures: Figures, bars: int) -> str:
    """Drying where it comes from another number of bars, and what only weighed bars give."""
    drying = figures.drying if figures.drying and figures.drying.bars != bars else None
    named: list[tuple[str, Spread | None]] = [
        (_("drying from %(bars)s"), drying),
        (_("water from %(bars)s"), figures.water),
        (_("loss on ignition from %(bars)s"), figures.ignition),
    ]
    said = [text % {"bars": number_text(spread.bars)} for text, spread in named if spread]
    return f" ({', '.join(said)})" if said else ""


def _with_the_rest(own: str, before: str) -> str:
    """And where the figures come from that bars don't give; earlier bars no longer count."""
    marker = " " + _("Other figures:") + " "
    whole = own + marker + (before.partition(marker)[2] or before)
    most = column(ClayBody, "source").max_length or len(whole)
    return whole if len(whole) <= most else whole[: most - 1] + "…"


def _day(on: date) -> str:
    # Translators: a short date, in Django's date format: "3 Nov 2026".
    return date_format(on, pgettext("short date", "j M Y"))
