"""What a class's papers say, from what is recorded."""

import pytest

from assessments.models import Result
from assessments.selectors.classes import class_marks
from assessments.selectors.papers import mark_sheet_of, reports_of
from assessments.services.choosing_rubric import choose_rubric
from assessments.services.marking import save_marking
from assessments.services.rubrics import create_rubric
from planning.models import Piece
from planning.services.pieces import start_pieces
from studio.people.services import move_student
from tests.assessments.work import released, the_rubric, written
from tests.cast import NOW, TODAY, School, pupil
from tests.planning.projects import a_brief, given
from tests.planning.work import piece_of
from tests.studio.ware.pots import a_pot, bisqued, move

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_a_mark_sheet_has_the_class_s_criteria_though_a_piece_came_with_others(
    cast: School,
) -> None:
    """Ode Amari stands first in the list, and was marked by the rubric of the class she left."""
    pupil(cast.head, cast.other_section, "Dara", "Dvorak")
    brief = a_brief(cast.teacher)
    [before] = given(cast.head, cast.section, brief=brief)
    [here] = given(cast.head, cast.other_section, brief=brief)
    the_rubric(cast.studio)
    own = create_rubric(
        studio=cast.studio, by=cast.head, title="Lids", criteria=[written("lid")], at=NOW
    )
    choose_rubric(assignment=before, version=own.versions.get(), by=cast.head, at=NOW)
    save_marking(
        piece=piece_of(before, cast.student),
        marker=cast.head,
        levels={},
        notes={},
        comment="It closes.",
        edition=0,
        by=cast.head,
        at=NOW,
    )
    move_student(
        student=cast.student, section=cast.section, to=cast.other_section, by=cast.head, on=TODAY
    )
    start_pieces(assignment=here, students=[cast.student], by=cast.head, at=NOW)

    sheet = mark_sheet_of(here, class_marks(here), cast.head, footer="")
    assert sheet.students[0].name == "Ode Amari"
    assert [each.title for each in sheet.criteria] == [
        "exploration before commitment",
        "silhouette control",
        "joint quality",
        "rim finish",
    ]


def test_a_pot_that_was_never_glazed_is_drawn_bisque_fired(cast: School) -> None:
    pot = move(bisqued(a_pot(cast), cast.teacher), "on_display", cast.teacher)
    released(Piece.objects.get(pk=pot.piece_id), cast.teacher)
    [report] = reports_of(list(Result.objects.select_related("piece__student")), footer="")
    assert report.stage == "bisque_fired"
