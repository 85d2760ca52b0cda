"""Today, shelves and a piece as each person sees them."""

import pytest
from django.urls import reverse

from planning.services.choosing import choose_design, let_through
from planning.services.plans import approve, send_back
from tests.cast import NOW, School, signed_in
from tests.planning.work import a_piece, choose, draw, refine, send


def page(person: object, name: str, *args: object) -> str:
    answer = signed_in(person).get(reverse(name, args=args), follow=True)  # type: ignore[arg-type]
    assert answer.status_code == 200
    return answer.content.decode()


def test_today_shows_the_plans_that_wait_to_their_teacher_only(cast: School) -> None:
    piece = a_piece(cast)
    send(cast, piece)
    assert "1 plan waits for you" in page(cast.teacher, "today")
    assert "1 plan waits for you" in page(cast.head, "today")
    assert "No plan waits for you" in page(cast.other_teacher, "today")
    assert piece.code not in page(cast.technician, "today")


def test_shelves_flag_for_teachers_and_not_for_the_class(cast: School) -> None:
    piece = a_piece(cast)
    send(cast, piece)
    shelves = page(cast.teacher, "class", cast.section.pk)
    assert "The plan waits for you" in shelves
    assert piece.code in shelves
    shown = page(cast.teacher, "class_shown", cast.section.pk)
    assert "waits for you" not in shown
    assert "Late" not in shown
    assert "Ode A." not in shown


def test_a_technician_reads_no_reason_and_no_note(cast: School) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    drawing = piece.thumbnails.get(position=6)
    drawing.note = "for my gran"
    drawing.save()
    teacher, technician = (
        page(person, "piece_seen", piece.pk) for person in (cast.teacher, cast.technician)
    )
    assert "It holds more than it shows." in teacher
    assert "for my gran" in teacher
    assert "It holds more than it shows." not in technician
    assert "for my gran" not in technician


@pytest.mark.parametrize(
    ("steps", "title"),
    [
        (0, "Sketch many ideas"),
        (1, "Choose one to build"),
        (2, "Refine it"),
        (3, "Plan it at full size"),
        (4, "Your plan is with the teacher"),
        (5, "Planned"),
    ],
)
def test_the_next_thing_to_do_is_open(cast: School, steps: int, title: str) -> None:
    piece = a_piece(cast)
    if steps == 1:
        draw(cast, piece)
    if steps in (2, 3):
        choose(cast, piece)
    if steps == 3:
        refine(piece)
    if steps >= 4:
        plan = send(cast, piece)
        if steps == 5:
            approve(plan=plan, by=cast.teacher, at=NOW)
    text = page(cast.student, "piece", piece.pk)
    assert title in text.split("step now")[-1] if steps < 5 else title in text


def test_a_plan_sent_back_says_why_on_the_students_page(cast: School) -> None:
    piece = a_piece(cast)
    send_back(plan=send(cast, piece), by=cast.teacher, at=NOW, note="Widen the foot.")
    assert "Widen the foot." in page(cast.student, "piece", piece.pk)


def test_the_gate_and_the_teachers_word(cast: School) -> None:
    piece = a_piece(cast)
    (only,) = draw(cast, piece, 1)
    assert "Before you choose: 5 more thumbnails and 2 more source forms." in page(
        cast.student, "piece", piece.pk
    )
    assert "Let this student choose already" in page(cast.teacher, "piece_seen", piece.pk)
    let_through(piece=piece, reason="Joined late", by=cast.teacher, at=NOW)
    assert "Joined late" not in page(cast.student, "piece", piece.pk)
    choose_design(piece=piece, thumbnail=only, reason="It stands", by=cast.student, at=NOW)


def test_everybody_starts_where_they_work(cast: School) -> None:
    a_piece(cast)
    starts = {
        who: signed_in(getattr(cast, who)).get("/", follow=True).redirect_chain
        for who in ("teacher", "student", "other_student")
    }
    assert starts["teacher"][-1][0] == reverse("today")
    assert starts["student"][-1][0].startswith("/pieces/")
    assert "no studio" in signed_in(cast.nobody).get("/").content.decode()
