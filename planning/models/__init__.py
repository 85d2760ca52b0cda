"""From a brief to an approved plan."""

from .assignment import Adjustment, Assignment, Milestone, MilestoneKind, OwnDate
from .brief import Brief, SourceForm, Surface, Terms
from .drawings import Choice, LetThrough, Refinement, Thumbnail
from .ideas import DrawnForm, IdeaChange, Ideas
from .piece import Piece
from .plan import PlanState, PlanVersion
from .plan_photo import PlanPhoto
from .scan import Scan, ScanPage
from .sheet import Sheet
from .steps import Steps

__all__ = [
    "Adjustment",
    "Assignment",
    "Brief",
    "Choice",
    "DrawnForm",
    "IdeaChange",
    "Ideas",
    "LetThrough",
    "Milestone",
    "MilestoneKind",
    "OwnDate",
    "Piece",
    "PlanPhoto",
    "PlanState",
    "PlanVersion",
    "Refinement",
    "Scan",
    "ScanPage",
    "Sheet",
    "SourceForm",
    "Steps",
    "Surface",
    "Terms",
    "Thumbnail",
]
