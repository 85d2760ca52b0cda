"""The rubric that a studio begins with.

Each descriptor says what the work shows at that level. None of them counts anything, and none is
a bare rating such as "good": rubrics that describe quality are read alike by more people (Brookhart
2018, "Appropriate Criteria: Key to Effective Rubrics"; four levels are typical there).
"""

from decimal import Decimal
from typing import NamedTuple

from django.utils.translation import gettext_noop

from assessments.models import EvidenceKind

TITLE = gettext_noop("The coil pot")
POINTS = (Decimal(1), Decimal(2), Decimal(3), Decimal(4))


class Shipped(NamedTuple):
    """A criterion and what each level looks like, the lowest first."""

    title: str
    evidence: EvidenceKind
    descriptors: tuple[str, str, str, str]


CRITERIA = (
    Shipped(
        gettext_noop("exploration before commitment"),
        EvidenceKind.EXPLORATION,
        (
            gettext_noop(
                "The drawings repeat the first idea. The choice was made before anything else "
                "had been tried, and the reason given would fit any pot."
            ),
            gettext_noop(
                "The drawings vary one idea: a wider belly, a longer neck. The choice rests on "
                "how easily it can be made or how soon it was found."
            ),
            gettext_noop(
                "Different directions are tried before one is taken up. The reason names what "
                "the chosen shape does that the others do not."
            ),
            gettext_noop(
                "The directions grow out of close looking and question each other; an early "
                "favourite is given up or changed. The reason and the refinements show what was "
                "learned on the way."
            ),
        ),
    ),
    Shipped(
        gettext_noop("silhouette control"),
        EvidenceKind.SILHOUETTE,
        (
            gettext_noop(
                "The outline went where the clay took it. The plan can no longer be recognised "
                "in the pot."
            ),
            gettext_noop(
                "The plan can be recognised, but the wall bulges or falls in between the places "
                "that were measured, and the widest place has wandered."
            ),
            gettext_noop(
                "The outline follows the plan; shoulder, belly and foot sit where they were "
                "drawn. Small waves show when the pot is turned."
            ),
            gettext_noop(
                "The outline follows the plan from every side in one unbroken line. Where it "
                "leaves the plan, the change was seen, decided and carried round."
            ),
        ),
    ),
    Shipped(
        gettext_noop("joint quality"),
        EvidenceKind.JOINTS,
        (
            gettext_noop(
                "Rows lie on each other without being worked together. Seams can be felt open "
                "from the inside, or have parted."
            ),
            gettext_noop(
                "Rows are joined on one face. Inside, or where parts were added, lines of the "
                "coils remain that were not meant to stay."
            ),
            gettext_noop(
                "Rows and added parts are worked into one wall inside and out. Here and there a "
                "seam was closed late and can be found."
            ),
            gettext_noop(
                "The wall is one piece of clay to eye and hand; thickness passes smoothly from "
                "base to rim. Coils that show do so because the surface asks for them."
            ),
        ),
    ),
    Shipped(
        gettext_noop("rim finish"),
        EvidenceKind.RIM,
        (
            gettext_noop("The last row was left as it came to lie: uneven, sharp or torn."),
            gettext_noop(
                "The rim was levelled and smoothed, but its thickness jumps, and it ends the "
                "pot without belonging to it."
            ),
            gettext_noop(
                "The rim is level, even and kind to the hand, and its shape goes with the wall "
                "below."
            ),
            gettext_noop(
                "The rim is designed: its edge, weight and tilt finish the line of the "
                "silhouette and say where the inside begins."
            ),
        ),
    ),
)
