"""What the substitute's sheet holds, and what it never does."""

from datetime import date, timedelta

from planning.models import Assignment
from studio.board.selectors.substitute import substitute_paper
from studio.people.models import Meeting, Role, Section
from studio.ware.services import cover, lose_pots, note_flaw, put_in_place
from tests.cast import NOW, TODAY, School, person
from tests.planning.projects import a_brief, given
from tests.planning.work import a_piece
from tests.studio.ware.pots import a_place, a_pot, dried, glazed, move

MONDAY = date(2026, 3, 16)


def test_each_student_has_a_line_in_the_order_of_first_names(cast: School) -> None:
    a_piece(cast)
    paper = substitute_paper(cast.section, today=TODAY)
    assert [line.name for line in paper.lines] == ["Bram V.", "Ode A."]
    assert all(line.code and line.clay == "no pot yet" for line in paper.lines)


def test_a_pot_says_its_code_place_and_stage(cast: School) -> None:
    pot = a_pot(cast)
    put_in_place(pots=[pot], place=a_place(cast, "Cart 2"), by=cast.teacher, at=NOW)
    bram, ode = substitute_paper(cast.section, today=TODAY).lines
    assert (ode.code, ode.place, ode.clay, ode.wrap) == (pot.code, "Cart 2", "wet", True)
    assert ode.now == "Build on: score the edge first."
    assert not bram.wrap


def test_only_the_words_that_occur_are_explained(cast: School) -> None:
    pot = a_pot(cast)
    [meaning] = substitute_paper(cast.section, today=TODAY).meanings
    assert meaning.startswith("Build on: unwrap the pot.")
    move(pot, "leather_hard", cast.teacher)
    [meaning] = substitute_paper(cast.section, today=TODAY).meanings
    assert meaning.startswith("Smooth and trim: leather-hard clay is firm but damp.")


def test_what_stays_damp_is_said_with_the_days_and_by_place(cast: School) -> None:
    pot = a_pot(cast)
    paper = substitute_paper(cast.section, today=TODAY)
    assert paper.damp == "This one stays damp: next lesson Monday, in 5 days."
    assert paper.damp_by_place == [f"Place not noted: {pot.code}."]
    put_in_place(pots=[pot], place=a_place(cast, "Cart 2"), by=cast.teacher, at=NOW)
    assert substitute_paper(cast.section, today=TODAY).damp_by_place == [f"Cart 2: {pot.code}."]


def test_it_is_for_todays_lesson_or_the_next_one(cast: School) -> None:
    a_pot(cast)
    assert "Wednesday 11 March 2026" in substitute_paper(cast.section, today=TODAY).subtitle
    thursday = substitute_paper(cast.section, today=TODAY + timedelta(days=1))
    assert "Monday 16 March 2026" in thursday.subtitle
    assert "next lesson Wednesday, in 2 days" in thursday.damp


def test_without_a_lesson_ahead_it_is_for_today(cast: School) -> None:
    a_pot(cast)
    Meeting.objects.filter(section=cast.section).delete()
    paper = substitute_paper(cast.section, today=TODAY)
    assert "Wednesday 11 March 2026" in paper.subtitle
    assert paper.damp == "This one stays damp: no further lesson is in the calendar."


def test_it_says_who_teaches_and_whom_to_call_instead(cast: School) -> None:
    paper = substitute_paper(cast.section, today=TODAY)
    assert "2 students · taught by Tomas Lindqvist" in paper.subtitle
    assert [(each.name, each.role) for each in paper.people] == [
        ("Ines Halloran", "head"),
        ("Joost Bakker", "technician"),
        ("Priya Raman", "teacher"),
    ]


def test_who_shares_the_class_is_called_first_and_who_left_not_at_all(cast: School) -> None:
    second = person(cast.head, Role.TEACHER, "Wilma", "Zwart")
    cast.section.teachers.add(second)
    cast.technician.is_active = False
    cast.technician.save()
    people = [each.name for each in substitute_paper(cast.section, today=TODAY).people]
    assert people == ["Tomas Lindqvist", "Wilma Zwart", "Ines Halloran", "Priya Raman"]


def test_five_people_can_be_called_at_most(cast: School) -> None:
    for number in range(4):
        person(cast.head, Role.TEACHER, "Ana", f"Ruiz-{number}")
    assert len(substitute_paper(cast.section, today=TODAY).people) == 5


def test_nothing_private_is_on_it(cast: School) -> None:
    """No family names of students, no notes, causes or flaws, nothing about being late."""
    broken = a_pot(cast, "Dropped")
    note_flaw(pot=broken, what="A crack that Bram made", by=cast.teacher, at=NOW)
    lose_pots(pots=[broken], kind="broken", by=cast.teacher, at=NOW, note="A quarrel with Bram")
    Assignment.objects.update(given_on=date(2026, 2, 2), due_on=date(2026, 3, 20))
    text = repr(substitute_paper(cast.section, today=TODAY))
    assert "Ode A." in text
    for private in ("Amari", "Vos", "quarrel", "crack", "unknown", "ate:", "It holds more"):
        assert private not in text


def test_older_projects_show_only_pots_that_are_in_work(cast: School) -> None:
    a_pot(cast, "Old and wet")
    glaze_fired = glazed(a_pot(cast, "Old and done"), cast)
    move(glaze_fired, "glaze_fired", cast.teacher, reason="Unloaded")
    dried(a_pot(cast, "Old and dry"), cast.teacher)
    a_pot(cast, "Old and broken")
    lose_pots(
        pots=[
            Assignment.objects.get(title="Old and broken")
            .pieces.get(student=cast.student)
            .pots.get()
        ],
        kind="broken",
        by=cast.teacher,
        at=NOW,
    )
    Assignment.objects.update(given_on=date(2026, 2, 2), due_on=date(2026, 3, 1))
    given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "New"))
    lines = substitute_paper(cast.section, today=TODAY).lines
    assert [(line.name, line.clay) for line in lines if line.name == "Bram V."] == [
        ("Bram V.", "no pot yet")
    ]
    mine = sorted(line.clay for line in lines if line.name == "Ode A.")
    assert mine == ["bone dry", "no pot yet", "wet"]


def test_a_student_without_a_piece_draws(cast: School) -> None:
    bram, ode = substitute_paper(cast.section, today=TODAY).lines
    assert (ode.code, ode.place, ode.now) == ("", "", "Draw ideas for a pot.")
    assert bram.name == "Bram V."


def test_a_class_without_anybody_has_a_sheet_too(cast: School) -> None:
    empty = Section.objects.create(studio=cast.studio, title="Period 9")
    paper = substitute_paper(empty, today=TODAY)
    assert paper.lines == []
    assert paper.damp == "No pot has to stay damp."
    assert paper.subtitle == "Wednesday 11 March 2026 · 0 students"


def test_a_wrapped_pot_stays_on_the_list(cast: School) -> None:
    pot = a_pot(cast)
    cover(pots=[pot], by=cast.student, at=NOW)
    assert substitute_paper(cast.section, today=TODAY).lines[1].wrap
