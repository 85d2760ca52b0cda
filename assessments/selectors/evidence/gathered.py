"""All evidence of several pieces: seven queries however many."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from assessments.models import EvidenceKind
from assessments.selectors.rubrics import CriterionSeen
from planning.models import Piece
from studio.bench.selectors.evidence import checks_by_pot

from .by_choice import ByChoice, Suggested
from .drawings import explored
from .plans import sent_plans, silhouette_evidence
from .pots import (
    history_of,
    joints_evidence,
    marked_from_photos,
    photos_by_pot,
    pots_by_piece,
    rim_evidence,
)
from .records import records_of
from .seen import Evidence


@dataclass(frozen=True)
class PieceEvidence:
    """`by_kind` has what stands beside a criterion; `lost` is a sentence about a broken pot.
    `by_choice` is for the eyes of who marks and is kept nowhere."""

    by_kind: dict[str, Evidence]
    history: Evidence
    lost: str = ""
    by_choice: ByChoice | None = None

    def suggested(self, criterion: CriterionSeen) -> Suggested | None:
        """A level to begin from, where the counts speak for one."""
        if criterion.evidence != EvidenceKind.EXPLORATION or self.by_choice is None:
            return None
        return self.by_choice.suggested(criterion)

    def beside(self, kind: str) -> Evidence:
        return self.by_kind.get(kind, Evidence())

    def as_json(self, beside: Sequence[Evidence]) -> dict[str, Any]:
        """As `Result.evidence` keeps it; `beside` stands by criterion, in the rubric's order."""
        return {
            "criteria": [each.as_json() for each in beside],
            "history": self.history.as_json(),
            "lost": self.lost,
        }


def without_evidence(kept: dict[str, Any]) -> dict[str, Any]:
    """What is left of `Result.evidence` once its student is erased: the outlines of plans, which
    are figures.
    """
    outlines = [Evidence.from_json(each).silhouette for each in kept["criteria"]]
    beside = [Evidence(silhouette=outline) for outline in outlines]
    return PieceEvidence({}, history=Evidence()).as_json(beside)


def evidence_of(pieces: Sequence[Piece]) -> dict[UUID, PieceEvidence]:
    """By piece. They are loaded as `assessments.selectors.marks.loaded` does."""
    pots = pots_by_piece(pieces)
    every_pot = [pot.pk for each in pots.values() for pot in each]
    records, photos = records_of(every_pot), photos_by_pot(every_pot)
    plans = sent_plans(pieces)
    drawn = explored(pieces, plans)
    planned = silhouette_evidence(pieces, plans, pots, records, checks_by_pot(every_pot))
    return {
        piece.pk: PieceEvidence(
            by_kind={
                EvidenceKind.EXPLORATION: drawn[piece.pk].evidence,
                EvidenceKind.SILHOUETTE: planned[piece.pk],
                EvidenceKind.JOINTS: joints_evidence(piece, pots[piece.pk], records, photos),
                EvidenceKind.RIM: rim_evidence(piece, pots[piece.pk], photos),
            },
            history=history_of(piece, pots[piece.pk], records),
            lost=marked_from_photos(piece, pots[piece.pk], records, photos),
            by_choice=drawn[piece.pk].by_choice,
        )
        for piece in pieces
    }
