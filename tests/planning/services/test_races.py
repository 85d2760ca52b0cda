"""Two taps and two windows at one plan at the same moment."""

from dataclasses import replace

import pytest

from planning.models import PlanPhoto, PlanState, PlanVersion
from planning.plans.inputs import drawn_as_json, drawn_from_json
from planning.services.plan_lines import take_into_plan
from planning.services.plan_photos import Scaled, remove_plan_photo, rescale
from planning.services.plans import save_draft, send_plan
from studio.jobs.models import Job
from studio.people.models import AuditEntry
from tests.cast import NOW, School
from tests.planning.plan_photos import chosen_piece, sent, traced
from tests.planning.work import drawn_plan
from tests.studio.ware.services.test_races import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def test_a_photo_that_is_taken_twice_stands_in_one_draft(cast: School) -> None:
    piece = chosen_piece(cast)
    photo = traced(sent(piece))
    said = at_once(*[lambda: take_into_plan(photo=photo, at=NOW) for _tap in range(3)])
    assert said == [""] * 3
    draft = PlanVersion.objects.get(piece=piece)
    assert [line[:3] for line in draft.inputs["lines"]] == photo.lines


def test_a_plan_is_sent_as_it_was_or_as_it_became_and_never_half(cast: School) -> None:
    piece = chosen_piece(cast)
    first = drawn_plan()
    other = replace(first, wall_base_mm=first.wall_base_mm + 1)
    save_draft(piece=piece, drawn=first, at=NOW)
    said = at_once(
        lambda: send_plan(piece=piece, by=cast.student, at=NOW),
        lambda: save_draft(piece=piece, drawn=other, at=NOW),
    )
    plan = PlanVersion.objects.get(piece=piece)
    if plan.state == PlanState.SENT:
        assert said in (
            ["", ""],
            ["", "Your plan is with the teacher. Take it back before you change it."],
        )
        assert plan.figures is not None
    else:
        assert said == ["", "The plan changed meanwhile, perhaps in another window. Look again."]
        assert drawn_as_json(drawn_from_json(plan.inputs)) == drawn_as_json(other)


def test_a_plan_that_is_sent_by_two_taps_is_sent_once(cast: School) -> None:
    piece = chosen_piece(cast)
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    said = at_once(*[lambda: send_plan(piece=piece, by=cast.student, at=NOW) for _tap in range(3)])
    assert said[0] == ""
    assert all(each for each in said[1:])
    assert not any(each.startswith("failed") for each in said)
    assert AuditEntry.objects.filter(action="plan sent").count() == 1


def test_a_photo_is_removed_once_and_rescaled_only_while_it_is_there(cast: School) -> None:
    photo = traced(sent(chosen_piece(cast)))
    card = Scaled("card", 25.0)
    said = at_once(
        lambda: remove_plan_photo(photo=photo),
        lambda: remove_plan_photo(photo=photo),
        lambda: rescale(photo=photo, by=cast.student, scaled=card, at=NOW),
    )
    gone = "This photo was removed meanwhile, perhaps in another window."
    assert said in (["", "", gone], ["", gone, gone])
    assert not PlanPhoto.objects.exists()
    assert not Job.objects.open().filter(kind="trace_drawing").exists()
