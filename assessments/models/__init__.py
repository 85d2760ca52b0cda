"""Rubrics and their versions, who is exempt from what, marks and results."""

from .criteria import Criterion, Exemption
from .marks import MarkedLevel, Marking, Result
from .rubric import AssignmentRubric, EvidenceKind, Level, Rubric, RubricCriterion, RubricVersion

__all__ = [
    "AssignmentRubric",
    "Criterion",
    "EvidenceKind",
    "Exemption",
    "Level",
    "MarkedLevel",
    "Marking",
    "Result",
    "Rubric",
    "RubricCriterion",
    "RubricVersion",
]
