"""Which plans wait for a teacher."""

from planning.selectors.plans import next_waiting, plans_waiting
from studio.people.models import Enrolment
from tests.cast import TODAY, School
from tests.planning.work import a_piece_with_a_plan, send


def test_the_plan_of_a_student_who_left_the_class_waits_no_more(cast: School) -> None:
    """Common practice, no source: nobody approves a pot that won't be built here."""
    draft = a_piece_with_a_plan(cast, "A jar")
    plan = draft if draft.state == "sent" else send(cast, draft.piece)
    assert plans_waiting(cast.teacher) == [plan]
    Enrolment.objects.filter(student=cast.student).update(left_on=TODAY)
    assert plans_waiting(cast.teacher) == []
    assert next_waiting(cast.teacher, after=plan) is None
