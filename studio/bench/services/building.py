"""What the services of the bench share: a pot that is being built, held."""

from django.utils.translation import gettext as _

from planning.bench.judging import VERSION
from planning.geometry.plan import COMPUTATION_VERSION
from studio.bench.models import CarryOn
from studio.bench.selectors.rows import Going
from studio.errors import Conflict
from studio.people.models import User
from studio.ware.models import Pot
from studio.ware.selectors.pots import checked_pots
from studio.ware.services.locking import locked_pot, refuse_lost
from studio.ware.stages import DAMP

COMPUTATION = f"{COMPUTATION_VERSION} {VERSION}"
"""What computed the figures that are kept here."""


def pot_being_built(pot: Pot, by: User) -> Pot:
    """The pot, locked; refused where it is lost or building has ended."""
    held = locked_pot(pot, by)
    refuse_lost([held])
    if held.stage not in DAMP:
        message = _("%(code)s is %(stage)s; building has ended.")
        raise Conflict(message % {"code": held.code, "stage": held.get_stage_display()})
    if checked_pots([held]):
        message = _("%(code)s had its greenware check; building has ended.")
        raise Conflict(message % {"code": held.code})
    return held


def refuse_other_rows(pot: Pot, way: Going) -> None:
    """What was worked out outside the transaction rests on the rows that hold; the pot is held."""
    if CarryOn.objects.agreed().filter(pot=pot).last() != way.agreed:
        raise Conflict(_("Your teacher agreed to new rows just now. Look at the pot again."))


def refuse_while_asked(pot: Pot) -> None:
    """No row is laid or taken back while new rows wait for the teacher: they begin at a row."""
    if CarryOn.objects.asked().filter(pot=pot).exists():
        raise Conflict(
            _(
                "You asked to carry on from here, and your teacher has not answered yet. Wait for "
                "it, or take the question back to go on with the rows that you have."
            )
        )
