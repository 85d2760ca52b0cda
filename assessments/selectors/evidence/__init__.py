"""What the software recorded about a piece, beside each criterion. It never sets a mark."""

from .by_choice import Suggested
from .drawings import exploration_evidence
from .gathered import PieceEvidence, evidence_of, without_evidence
from .seen import Evidence, Picture

__all__ = [
    "Evidence",
    "Picture",
    "PieceEvidence",
    "Suggested",
    "evidence_of",
    "exploration_evidence",
    "without_evidence",
]
