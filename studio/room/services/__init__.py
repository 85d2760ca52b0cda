"""Every change of what the room has: clay bodies, test bars, glazes, kilns and their furniture."""

from .bar_figures import use_bars
from .bars import add_bars, edit_bar, measure_bars
from .bodies import add_body, bring_back_body, edit_body, retire_body
from .glazes import add_glaze, bring_back_glaze, edit_glaze, record_leach_test, retire_glaze
from .kilns import add_kiln, bring_back_kiln, edit_kiln, retire_kiln

__all__ = [
    "add_bars",
    "add_body",
    "add_glaze",
    "add_kiln",
    "bring_back_body",
    "bring_back_glaze",
    "bring_back_kiln",
    "edit_bar",
    "edit_body",
    "edit_glaze",
    "edit_kiln",
    "measure_bars",
    "record_leach_test",
    "retire_body",
    "retire_glaze",
    "retire_kiln",
    "use_bars",
]
