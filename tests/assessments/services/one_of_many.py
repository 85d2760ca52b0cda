"""What each of several processes does that mark or release the same piece at the same moment."""

from collections.abc import Callable

from django.utils import timezone

from assessments.models import RubricVersion
from assessments.services.marking import save_marking
from assessments.services.releasing import release
from planning.models import Piece
from studio.errors import Refused
from studio.people.models import User
from tests.assessments.work import levels


def act(verb: str, piece: Piece, person: User, version: RubricVersion, points: str) -> str:
    if verb == "release":
        [made] = release(pieces=[piece], by=person, at=timezone.now())
        return f"released {made.number}"
    chosen, _seen = levels(version, points, points, points, points)
    kept = save_marking(
        piece=piece,
        marker=person,
        levels=chosen,
        notes={},
        comment=f"By {points}",
        edition=0,
        by=person,
        at=timezone.now(),
    )
    return f"kept {kept.edition}"


def said_of(ready: Callable[[], object], verb: str, *words: str) -> list[str]:
    """`words` are a piece, a person, a rubric's version and points."""
    piece_pk, person_pk, version_pk, points = words
    piece = Piece.objects.select_related("assignment", "studio").get(pk=piece_pk)
    person = User.objects.get(pk=person_pk)
    version = RubricVersion.objects.get(pk=version_pk)
    ready()
    try:
        return [act(verb, piece, person, version, points)]
    except Refused as refusal:
        return [f"{type(refusal).__name__} {refusal}"]
