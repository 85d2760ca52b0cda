"""The whole job in a real browser: a brief is given, a pot is drawn, planned, built, fired twice,
marked, and its student reads what was good about it. The teacher on a laptop, the student on a
phone, the technician at the kiln.
"""

import pytest
from playwright.sync_api import expect

from planning.models import Piece, PlanState, PlanVersion
from studio.clay.models import Entry
from studio.ware.models import Pot, Stage
from tests.browser import Windows
from tests.cast import School
from tests.chromium import PHONE

from . import kiln_part, making_part, marking_part, planning_part

pytestmark = pytest.mark.browser


def test_a_brief_becomes_a_fired_pot_and_a_mark_that_its_student_reads(
    cast: School, windows: Windows
) -> None:
    teacher = windows.open().sign_in(cast.teacher)
    planning_part.add_clay(teacher)
    planning_part.write_brief(teacher)
    planning_part.give(teacher, cast.section.title)

    student = windows.open(PHONE).sign_in(cast.student)
    expect(student.get_by_role("heading", name="Sketch many ideas")).to_be_visible()
    planning_part.upload_eight(student)
    planning_part.say_source_forms(student)
    planning_part.choose(student)
    planning_part.refine(student)
    planning_part.enter_plan(student)

    planning_part.approve(teacher, cast.student.name)
    student.reload()
    expect(student.get_by_text("Planned", exact=False).first).to_be_visible()
    piece = Piece.objects.get(student=cast.student)
    plan = PlanVersion.objects.get(piece=piece)
    assert (plan.state, plan.decided_by) == (PlanState.APPROVED, cast.teacher)
    # A pot of this size is a few hundred grams to a few kilograms (common practice, no source).
    assert plan.pot_wet_g is not None
    assert 1000 < plan.pot_wet_g < 3500
    planning_part.no_picture_knows_where_it_was_taken()

    making_part.receive_clay(teacher)
    making_part.hand_out(teacher, cast.section.title, piece.code)
    issued = Entry.objects.get(kind="issue")
    assert issued.planned_g == plan.issue_g

    making_part.stiffen_and_wrap(student)
    making_part.say_built(student)
    making_part.check_greenware(teacher, piece.code)
    technician = windows.open().sign_in(cast.technician)
    making_part.check_dryness(technician, piece.code)

    kiln_part.set_up(technician, cast.technician.name)
    kiln_part.fire(technician, "Slow school bisque", piece.code)
    making_part.check_glaze(technician, piece.code)
    kiln_part.fire(technician, "Mid-range glaze", piece.code, in_days=7)
    pot = Pot.objects.get()
    assert pot.stage == Stage.GLAZE_FIRED
    went = list(pot.stage_entries.values_list("stage", flat=True))
    assert went == list(Stage.values[: len(went)])

    marking_part.mark(teacher, cast.student)
    own_page = f"{windows.site}{piece.get_absolute_url()}"
    student.goto(own_page)
    marking_part.nothing_to_read(student)
    marking_part.release(teacher)
    student.goto(own_page)
    marking_part.read(student)
