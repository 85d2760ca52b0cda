"""What happens to a pot: begun, moved on, checked, placed, covered, flawed, lost."""

from .before_firing import check_dryness, check_glaze
from .greenware import Asked, check_greenware, withdraw_greenware
from .mishaps import find_pot, lose_pots, note_flaw, set_flaw_cause, set_loss_cause
from .photos import add_pot_photo
from .places import add_place, bring_back_place, edit_place, retire_place
from .placing import cover, put_in_place, uncover
from .pots import begin_pot
from .stages import come_to_stage, say_built, say_not_built
from .weighing import Weighed, weigh_built, weigh_drying

__all__ = [
    "Asked",
    "Weighed",
    "add_place",
    "add_pot_photo",
    "begin_pot",
    "bring_back_place",
    "check_dryness",
    "check_glaze",
    "check_greenware",
    "come_to_stage",
    "cover",
    "edit_place",
    "find_pot",
    "lose_pots",
    "note_flaw",
    "put_in_place",
    "retire_place",
    "say_built",
    "say_not_built",
    "set_flaw_cause",
    "set_loss_cause",
    "uncover",
    "weigh_built",
    "weigh_drying",
    "withdraw_greenware",
]
