"""Released results as people read them."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from assessments.models import Result
from planning.pictures.outline import Sample

from .evidence import Evidence
from .wording import points_text, total_text


@dataclass(frozen=True)
class LevelRead:
    """One criterion: `points` are words, "" where it isn't judged and `why` says so."""

    title: str
    points: str
    descriptor: str
    why: str
    note: str
    evidence: Evidence


@dataclass(frozen=True)
class ResultSeen:
    number: int
    total: str
    levels: list[LevelRead]
    comment: str
    reason: str
    lost: str
    silhouette: tuple[Sample, ...]
    history: Evidence
    released_at: datetime
    released_by: str


def result_seen(result: Result) -> ResultSeen:
    """As it was released; `released_by` is loaded."""
    evidence = [Evidence.from_json(each) for each in result.evidence["criteria"]]
    return ResultSeen(
        number=result.number,
        total=total_text(result.score, result.most),
        levels=[
            LevelRead(
                title=level["criterion"],
                points=points_of_most(level),
                descriptor=level["descriptor"],
                why=why_open(level),
                note=level["note"],
                evidence=seen,
            )
            for level, seen in zip(result.levels, evidence, strict=True)
        ],
        comment=result.comment,
        reason=result.reason,
        lost=result.evidence["lost"],
        silhouette=next((each.silhouette for each in evidence if each.silhouette), ()),
        history=Evidence.from_json(result.evidence["history"]),
        released_at=result.released_at,
        released_by=result.released_by.name,
    )


def points_of_most(level: dict[str, str | None]) -> str:
    """`3 of 4` of a frozen level; "" where it has none."""
    if level["exempt"] or level["points"] is None:
        return ""
    points, most = Decimal(level["points"]), Decimal(level["most"] or 0)
    words = {"points": points_text(points), "most": points_text(most)}
    return _("%(points)s of %(most)s") % words


def why_open(level: dict[str, str | None]) -> str:
    """Why a frozen criterion has no level; "" where it has one."""
    if level["exempt"]:
        return _("You are not judged by this.")
    return "" if level["points"] is not None else _("Not judged yet.")
