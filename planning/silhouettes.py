"""The outline of a piece from the figures that its plan keeps."""

from planning.drawing import Sample
from planning.models import PlanVersion


def silhouette_of(plan: PlanVersion) -> list[Sample]:
    """(height_mm, left_mm, right_mm) of the wet form from base to rim."""
    kept = (plan.figures or {}).get("silhouette", [])
    return [(height, left, right) for height, left, right in kept]
