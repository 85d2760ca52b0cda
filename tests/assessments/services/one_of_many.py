"""One of several processes that mark or release the same piece at the same moment.

Says "ready", waits for a line, acts, and says what came of it.
"""

import sys

import django

django.setup()

from django.utils import timezone  # noqa: E402 -- after Django stands

from assessments.models import RubricVersion  # noqa: E402
from assessments.services.marking import save_marking  # noqa: E402
from assessments.services.releasing import release  # noqa: E402
from planning.models import Piece  # noqa: E402
from studio.errors import Refused  # noqa: E402
from studio.people.models import User  # noqa: E402
from tests.assessments.work import levels  # noqa: E402


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


def main() -> None:
    verb, piece_pk, person_pk, version_pk, points = sys.argv[1:]
    piece = Piece.objects.select_related("assignment", "studio").get(pk=piece_pk)
    person = User.objects.get(pk=person_pk)
    version = RubricVersion.objects.get(pk=version_pk)
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    sys.stdin.readline()
    try:
        said = act(verb, piece, person, version, points)
    except Refused as refusal:
        said = f"{type(refusal).__name__} {refusal}"
    sys.stdout.write(f"{said}\n")


if __name__ == "__main__":
    main()
