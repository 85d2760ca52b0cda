"""What the maker of a piece does next, in a sentence that needs no knowledge of the program.

Only what anybody in the room may know: no counts (a student may have other ones), no reasons, no
notes, nothing about being late.
"""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from planning.models import Piece
from planning.selectors.gate import still_missing
from planning.selectors.progress import Progress
from studio.ware.models import Pot, Stage
from studio.ware.stages import DAMP

Text = str | Promise


@dataclass(frozen=True)
class Step:
    """`now` is short enough for a line of a list; `meaning` says it to who has never built."""

    now: Text
    meaning: Text = ""


# How a pot is built and treated at each stage: common practice, no source.
BUILD = Step(
    _("Build on: score the edge first."),
    _(
        "Build on: unwrap the pot. Scratch crossed lines into its top edge (score) and brush on "
        "clay stirred with water to a cream (slip). Lay a rolled coil on it and work it into the "
        "wall inside and out, a hand behind the wall. After two to four coils let it stiffen."
    ),
)
SMOOTH = Step(
    _("Smooth and trim it; keep it damp."),
    _("Smooth and trim: leather-hard clay is firm but damp. Scrape it smooth from all sides."),
)
CHECK = Step(_("Leave it wrapped: it is built."))
DRYING = Step(_("Leave it: it is built, and dries."))
BONE_DRY = Step(_("Don't touch it: dry and brittle."))
BISQUE = Step(_("Leave it: it waits for glaze."))
GLAZED = Step(_("Don't touch it: the glaze rubs off."))
FINISHED = Step(_("Finished: leave it where it is."))
TAKEN = Step(_("Finished, and taken home."))
BROKEN = Step(_("Draw: a new pot comes later."))
MISSING = Step(_("Look for it; else draw."))
CLAY = Step(_("Draw: clay waits for the teacher."))
WAITING = Step(_("Draw: the plan is with the teacher."))
SENT_BACK = Step(_("Change the plan, as it was asked."))
PLAN = Step(_("Draw the plan at full size."))
REFINE = Step(_("Draw the chosen idea again, larger."))
CHOOSE = Step(_("Choose one idea to build."))
SKETCH = Step(_("Draw more ideas, small and quick."))
BEGIN = Step(_("Draw ideas for a pot."))

_OF_STAGE: dict[str, Step] = {
    Stage.WET: BUILD,
    Stage.LEATHER_HARD: SMOOTH,
    Stage.BONE_DRY: BONE_DRY,
    Stage.BISQUE_FIRED: BISQUE,
    Stage.GLAZED: GLAZED,
    Stage.GLAZE_FIRED: FINISHED,
    Stage.ON_DISPLAY: FINISHED,
    Stage.COLLECTED: TAKEN,
}
_ON_PAPER: dict[str, Step] = {
    "sketch": SKETCH,
    "choose": CHOOSE,
    "refine": REFINE,
    "plan": PLAN,
    "waiting": WAITING,
    "build": CLAY,
}


def step_of_pot(pot: Pot, *, damp: bool) -> Step:
    """`damp`: it is on the cover list, so still being built."""
    if pot.lost:
        return BROKEN if pot.lost == "broken" else MISSING
    if pot.stage in DAMP and not damp:
        return DRYING
    if pot.said_built_at is not None:
        return CHECK
    return _OF_STAGE[pot.stage]


def step_on_paper(piece: Piece, progress: Progress) -> Step:
    """Of a piece without a pot. Its `let_through` is loaded."""
    if progress.sent_back:
        return SENT_BACK
    missing = still_missing(piece, progress.done, progress.asked)
    return _ON_PAPER[progress.next_step(shut=bool(missing))]
