"""What is done at the bench: rows laid, the wall measured, a pot checked, carried on."""

from .carrying_on import agree_to_carry_on, ask_to_carry_on, decline_to_carry_on, take_back_asking
from .checks import check_build, strike_out
from .rows import lay_rows, measure_wall, take_back_row

__all__ = [
    "agree_to_carry_on",
    "ask_to_carry_on",
    "check_build",
    "decline_to_carry_on",
    "lay_rows",
    "measure_wall",
    "strike_out",
    "take_back_asking",
    "take_back_row",
]
