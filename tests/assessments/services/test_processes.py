"""Two people at the same pot at the same moment, as processes: one is done, the other reads why."""

import pytest

from assessments.models import MarkedLevel, Marking, Result
from planning.models import Piece
from studio.people.models import User
from tests.assessments.services.one_of_many import said_of
from tests.assessments.work import mark, the_rubric
from tests.at_once import at_once
from tests.cast import School, school
from tests.planning.work import a_piece

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def all_at_once(verb: str, piece: Piece, people: list[User]) -> list[str]:
    """What the processes read, sorted; each gives other points."""
    version = str(the_rubric(piece.studio).pk)
    asked = [
        (verb, str(piece.pk), str(person.pk), version, str(n % 4 + 1))
        for n, person in enumerate(people)
    ]
    return sorted(said for answer in at_once(said_of, asked) for said in answer)


@pytest.fixture
def here() -> School:
    return school()


def test_two_people_who_begin_the_same_pot_at_once(here: School) -> None:
    piece = a_piece(here)
    said = all_at_once("mark", piece, [here.teacher, here.head])
    refused, kept = said
    assert kept == "kept 1"
    first = Marking.objects.get()
    assert refused.startswith(f"Conflict {first.marker.name} has begun to mark this pot, at ")
    assert "not kept yet" in refused


def test_two_windows_of_one_marker_at_once(here: School) -> None:
    piece = a_piece(here)
    said = all_at_once("mark", piece, [here.teacher] * 4)
    assert [each for each in said if each.startswith("kept")] == ["kept 1"]
    assert sum(1 for each in said if each.startswith("Conflict This marking was changed at")) == 3
    # What is kept is one of the four as a whole, nothing mixed.
    marking = Marking.objects.get()
    points = {f"By {row.level.points:.0f}" for row in MarkedLevel.objects.all() if row.level}
    assert points == {marking.comment}


def test_two_people_who_release_the_same_pot_at_once(here: School) -> None:
    piece = a_piece(here)
    mark(piece, here.teacher)
    said = all_at_once("release", piece, [here.teacher, here.head, here.teacher])
    assert [each for each in said if each == "released 1"] == ["released 1"]
    assert sum(1 for each in said if "is released already" in each) == 2
    assert Result.objects.count() == 1
