"""The way from the choice to the plan is compared whenever a part of it changes."""

from datetime import timedelta
from typing import Any

import pytest
from pytest_django import Settings

from planning.exploration.steps import size_of
from planning.models import DrawnForm, Piece, PlanVersion, Refinement, Steps, Thumbnail
from planning.services import ideas as service
from planning.services.assignments import count_ideas
from planning.services.choosing import choose_design
from planning.services.drawings import add_refinement, bring_back, withdraw
from planning.services.ideas import compare_the_rest
from planning.services.plans import approve, save_draft, send_plan, take_back
from planning.services.steps import on_the_way, steps_answer
from studio.jobs.models import Job
from studio.jobs.tasks import MAX_ATTEMPTS, run_job
from tests.cast import NOW, School
from tests.planning.drawings import BLANK, file_of, picture, run_all, sent
from tests.planning.exploration.ideas import Array
from tests.planning.projects import a_brief, given
from tests.planning.work import drawn_plan, piece_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def refined(piece: Piece, photo: Array, days: int = 0) -> Refinement:
    at = NOW + timedelta(days=days)
    return add_refinement(piece=piece, by=piece.student, file=file_of(photo), at=at)


def chosen(cast: School, *forms: int) -> tuple[Piece, list[Thumbnail]]:
    """A piece with a thumbnail of each form, the first of which is chosen."""
    free = a_brief(cast.teacher, least_thumbnails=0, least_source_forms=0)
    (assignment,) = given(cast.teacher, cast.section, brief=free)
    piece = piece_of(assignment, cast.student)
    drawn = [sent(piece, picture(form)) for form in forms]
    run_all()
    take(piece, drawn[0])
    return piece, drawn


def take(piece: Piece, thumbnail: Thumbnail, days: int = 0) -> None:
    at = NOW + timedelta(days=days)
    choose_design(piece=piece, thumbnail=thumbnail, reason="Calm", by=piece.student, at=at)


def planned(piece: Piece) -> PlanVersion:
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    return send_plan(piece=piece, by=piece.student, at=NOW)


def told(piece: Piece) -> dict[str, Any]:
    """The answer for the way as it is now; nothing is waiting any more."""
    run_all()
    kept, way = Steps.objects.get(piece=piece), on_the_way(piece.pk)
    assert way is not None
    assert kept.is_of(way.told)
    assert kept.answer is not None
    return kept.answer


def sizes(answer: dict[str, Any]) -> list[str | None]:
    return [None if alike is None else size_of(alike) for alike in answer["alike"]]


def test_each_refinement_is_compared_with_the_drawing_before_it(cast: School) -> None:
    piece, _drawn = chosen(cast, 0, 1)
    assert told(piece) == {"alike": [], "nearest": None, "unreadable": []}
    refined(piece, picture(1, 1))
    near = refined(piece, picture(1, 2), days=1)
    blank = refined(piece, BLANK, days=2)
    answer = told(piece)
    assert sizes(answer)[0] == "apart"
    assert sizes(answer)[1] in {"same", "near"}
    assert sizes(answer)[2] is None
    assert [each["id"] for each in answer["unreadable"]] == [str(blank.pk)]
    withdraw(drawing=near, by=cast.student, at=NOW)
    assert len(told(piece)["alike"]) == 2
    bring_back(drawing=near, by=cast.student)
    assert len(told(piece)["alike"]) == 3
    assert DrawnForm.objects.count() == 5


def test_what_was_drawn_for_an_earlier_choice_is_no_step_of_this_one(cast: School) -> None:
    piece, (first, second) = chosen(cast, 0, 1)
    refined(piece, picture(0, 1), days=1)
    assert sizes(told(piece))[0] in {"same", "near"}
    take(piece, second, days=2)
    assert told(piece)["alike"] == []
    refined(piece, picture(1, 1), days=3)
    choose_design(
        piece=piece, thumbnail=second, reason="Fuller", by=cast.student, at=NOW + timedelta(days=4)
    )
    assert len(told(piece)["alike"]) == 1
    take(piece, first, days=5)
    assert told(piece)["alike"] == []


def test_the_plan_that_holds_is_compared_else_the_one_that_waits(cast: School) -> None:
    piece, drawn = chosen(cast, 0, 1, 2)
    assert told(piece)["nearest"] is None
    first = planned(piece)
    nearest = told(piece)["nearest"]
    assert nearest["id"] in {str(each.pk) for each in drawn}
    assert 0 <= nearest["alike"] <= 1
    take_back(plan=first, by=cast.student, at=NOW)
    assert told(piece)["nearest"] is None
    second = planned(piece)
    approve(plan=second, by=cast.teacher, at=NOW)
    told(piece)
    third = planned(piece)
    told(piece)
    assert Steps.objects.get(piece=piece).of["plan"] == str(second.pk)
    assert third.pk != second.pk


def test_a_change_while_it_is_compared_is_compared_too(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece, _drawn = chosen(cast, 0)
    seen: list[int] = []

    def slow(way: Any, read: Any) -> Any:
        if not seen:
            withdraw(drawing=late, by=cast.student, at=NOW)
        seen.append(len(way.refinements))
        return steps_answer(way, read)

    late = refined(piece, picture(0, 1))
    monkeypatch.setattr(service, "steps_answer", slow)
    assert told(piece)["alike"] == []
    assert seen == [1, 0]


def test_steps_that_cannot_be_compared_are_kept_as_such(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece, _drawn = chosen(cast, 0)

    def broken(*_: object) -> Any:
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr(service, "steps_answer", broken)
    for _ in range(MAX_ATTEMPTS):
        run_job.call(str(Job.objects.get(kind="compare_ideas", state="waiting").pk))
    assert Steps.objects.get(piece=piece).answer is None
    compare_the_rest(at=NOW)
    assert not Job.objects.filter(kind="compare_ideas", state="waiting").exists()


def test_pieces_from_before_are_compared_without_being_asked(cast: School) -> None:
    piece, _drawn = chosen(cast, 0)
    run_all()
    Steps.objects.all().delete()
    compare_the_rest(at=NOW)
    assert told(piece)["alike"] == []


def test_where_ideas_are_not_counted_no_step_is_measured(cast: School) -> None:
    piece, _drawn = chosen(cast, 0)
    Steps.objects.all().delete()
    Job.objects.all().delete()
    count_ideas(assignment=piece.assignment, counted=False, by=cast.teacher)
    piece.assignment.refresh_from_db()
    refined(piece, picture(0, 1))
    run_all()
    approve(plan=planned(piece), by=cast.teacher, at=NOW)
    assert not Steps.objects.exists()
    assert not Job.objects.filter(kind="compare_ideas").exists()
