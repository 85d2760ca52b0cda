"""Two people at the same pot at the same moment, as processes: one is done, the other reads why."""

import os
import subprocess
import sys
from contextlib import ExitStack

import pytest
from django.conf import settings
from django.db import connection

from assessments.models import MarkedLevel, Marking, Result
from planning.models import Piece
from studio.people.models import User
from tests.assessments.work import mark, the_rubric
from tests.cast import School, school
from tests.planning.work import a_piece

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def address() -> str:
    """DATABASE_URL of the database that this test runs on."""
    at = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{at['NAME']}"
    who = f"{at['USER']}:{at['PASSWORD']}@" if at["USER"] else ""
    return f"postgres://{who}{at['HOST'].replace('/', '%2F')}:{at['PORT']}/{at['NAME']}"


def at_once(verb: str, piece: Piece, people: list[User]) -> list[str]:
    """What each process read, let go together once all stand ready; each gives other points."""
    version = str(the_rubric(piece.studio).pk)
    environment = {
        **os.environ,
        "DATABASE_URL": address(),
        "DJANGO_SETTINGS_MODULE": "studio.config.settings",
    }
    program = [sys.executable, "-m", "tests.assessments.services.one_of_many", verb, str(piece.pk)]
    with ExitStack() as stack:
        running = [
            stack.enter_context(
                subprocess.Popen(
                    [*program, str(person.pk), version, str(n % 4 + 1)],
                    cwd=settings.BASE_DIR,
                    env=environment,
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    text=True,
                )
            )
            for n, person in enumerate(people)
        ]
        for process in running:
            assert process.stdout is not None
            assert process.stdout.readline() == "ready\n"
        for process in running:
            assert process.stdin is not None
            process.stdin.write("go\n")
            process.stdin.flush()
        said = [process.communicate()[0].strip() for process in running]
        assert [process.returncode for process in running] == [0] * len(people)
    return sorted(said)


@pytest.fixture
def here() -> School:
    return school()


def test_two_people_who_begin_the_same_pot_at_once(here: School) -> None:
    piece = a_piece(here)
    said = at_once("mark", piece, [here.teacher, here.head])
    refused, kept = said
    assert kept == "kept 1"
    first = Marking.objects.get()
    assert refused.startswith(f"Conflict {first.marker.name} has begun to mark this pot, at ")
    assert "not kept yet" in refused


def test_two_windows_of_one_marker_at_once(here: School) -> None:
    piece = a_piece(here)
    said = at_once("mark", piece, [here.teacher] * 4)
    assert [each for each in said if each.startswith("kept")] == ["kept 1"]
    assert sum(1 for each in said if each.startswith("Conflict This marking was changed at")) == 3
    # What is kept is one of the four as a whole, nothing mixed.
    marking = Marking.objects.get()
    points = {f"By {row.level.points:.0f}" for row in MarkedLevel.objects.all() if row.level}
    assert points == {marking.comment}


def test_two_people_who_release_the_same_pot_at_once(here: School) -> None:
    piece = a_piece(here)
    mark(piece, here.teacher)
    said = at_once("release", piece, [here.teacher, here.head, here.teacher])
    assert [each for each in said if each == "released 1"] == ["released 1"]
    assert sum(1 for each in said if "is released already" in each) == 2
    assert Result.objects.count() == 1
