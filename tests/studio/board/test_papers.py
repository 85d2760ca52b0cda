"""A plan's prints as each person gets them: of the plan that holds, laid over the right dates."""

import re
from dataclasses import replace
from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

import cv2
import pytest
from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone

from planning.geometry.inputs import Outline
from planning.models import Piece, PlanState, PlanVersion
from planning.plans.inputs import Line
from planning.plans.papers import Paper
from planning.services.plans import approve, save_draft, send_back, send_plan
from studio.bench.services import agree_to_carry_on
from studio.board.selectors.papers import plans_on_paper
from studio.paper.pages import WITH_LARGE_PAGES
from studio.people.models import User
from studio.ware.services import lose_pots
from tests.cast import NOW, School, signed_in
from tests.planning.sheets.joined import all_paths
from tests.planning.sheets.test_true_size import crossings, levels, table, the_axis
from tests.planning.work import LINES, a_piece, a_piece_with_a_plan, choose, drawn_plan
from tests.studio.bench.pots import SOON, asked
from tests.studio.paper.measuring import Print
from tests.studio.ware.pots import a_pot

pytestmark = pytest.mark.django_db
THE_NEXT_DAY = NOW + timedelta(days=1)


@pytest.fixture(autouse=True)
def _on_a_wednesday(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)


def answer(person: User, name: str, *of: Any, **asked_for: Any) -> HttpResponse:
    got = signed_in(person).get(f"{reverse(name, args=of)}?{urlencode(asked_for)}")
    assert isinstance(got, HttpResponse)
    return got


def page(person: User, piece: Piece, **asked_for: str) -> str:
    got = answer(person, "plan_papers", piece.pk, **asked_for)
    assert got.status_code == 200
    return got.content.decode()


def printed(person: User, piece: Piece, kind: str, paper: str = "a3") -> Print:
    got = answer(person, "plan_paper_pdf", piece.pk, kind, paper=paper)
    assert got.status_code == 200, got.content.decode()
    assert got["Content-Type"] == "application/pdf"
    assert got["Cache-Control"] == "no-store, private"
    return Print(got.content)


def words(read: Print) -> str:
    return " ".join(read.text(number) for number in range(len(read.sizes_mm)))


def sent(cast: School, **changed: Any) -> PlanVersion:
    return a_piece_with_a_plan(cast, "A vessel with a shoulder", **changed)


@pytest.mark.parametrize("kind", Paper.values)
def test_each_print_says_whose_it_is_and_which_plan(cast: School, kind: str) -> None:
    piece = sent(cast).piece
    for person in (cast.student, cast.teacher, cast.head, cast.technician):
        said = words(printed(person, piece, kind))
        for expected in (piece.code, "Ode A.", "Period 3", "lan 1, not approved yet"):
            assert expected in said


@pytest.mark.parametrize("paper", WITH_LARGE_PAGES)
def test_the_page_says_on_how_many_pages_each_print_comes(cast: School, paper: str) -> None:
    piece = sent(cast).piece
    html = page(cast.student, piece, paper=paper)
    for kind in Paper:
        address = reverse("plan_paper_pdf", args=[piece.pk, kind])
        assert f'href="{address}?paper={paper}"' in html
        count = len(printed(cast.student, piece, kind, paper).sizes_mm)
        line = html.partition(address)[2].partition("</li>")[0]
        assert f"{count} page" in line


def test_height_lines_and_half_widths_are_those_that_were_typed(cast: School) -> None:
    """A row every 50 mm was typed as left and right; the template has their mean."""
    piece = sent(cast).piece
    found = all_paths(printed(cast.student, piece, "template"))
    ground, axis = table(found), the_axis(found)
    for line in LINES[1:-1]:
        half = (line.left_mm + line.right_mm) / 2  # type: ignore[operator]
        at = [x - axis for x in crossings(found, ground - line.height_mm)]
        assert at == pytest.approx([half] * len(at), abs=0.1)
        assert at
    assert "Left and right of the drawing differ by up to 0.2 cm" in words(
        printed(cast.student, piece, "template")
    )


def test_a_fired_drawing_is_printed_as_large_as_it_is_built(cast: School) -> None:
    """The body of `projects.BODY` shrinks by 10.5 % in all, so that 200 mm fired are built
    200 / (1 - 0.105) = 223.46 mm tall."""
    piece = sent(cast, drawn_as="fired").piece
    found = all_paths(printed(cast.student, piece, "whole"))
    ground = table(found)
    top = min(path.box[1] for path in found if len(path.points) > 100) + 0.25
    assert ground - top == pytest.approx(200 / (1 - 0.105), abs=0.1)


def test_in_inches_height_lines_stand_an_inch_apart(cast: School) -> None:
    piece = sent(cast).piece
    cast.studio.length_unit = "in"
    cast.studio.save()
    read = printed(cast.student, piece, "template")
    found = all_paths(read)
    heights = sorted(table(found) - y for y in levels(found))
    assert heights == pytest.approx([25.4 * n for n in range(1, 8)], abs=0.1)
    assert "rim 7 7/8 in" in words(read)


def test_a_pot_that_is_not_round_gets_a_template_for_each_side(cast: School) -> None:
    piece = sent(cast, outline=Outline("oval", 0.7)).piece
    said = words(printed(cast.student, piece, "template"))
    assert "Profile template, for left and right" in said
    assert "Profile template, for front and back" in said
    whole = words(printed(cast.student, piece, "whole"))
    assert "Whole plan, from the front" in whole
    assert "Whole plan, from the side" in whole


def test_an_even_drawing_says_nothing_of_left_and_right(cast: School) -> None:
    lines = tuple(Line(line.height_mm, line.left_mm, line.left_mm) for line in LINES)
    plan = sent(cast, lines=lines)
    assert "differ by" not in words(printed(cast.student, plan.piece, "template"))


def test_a_draft_is_printed_for_its_student_only(cast: School) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    assert "plan 1, a draft" in words(printed(cast.student, piece, "bench"))
    assert "There is no plan to print yet" in page(cast.teacher, piece)
    refused = answer(cast.teacher, "plan_paper_pdf", piece.pk, "bench")
    assert refused.status_code == 422
    assert "as soon as it is sent" in refused.content.decode()


@pytest.mark.parametrize(
    ("lines", "sentence"),
    [
        ((*LINES[:2], Line(100)), "Measure left and right on every height line first"),
        (LINES[:1], "A profile needs"),
    ],
    ids=["a line without half-widths", "one line only"],
)
def test_a_draft_that_cannot_be_computed_says_why(
    cast: School, lines: tuple[Line, ...], sentence: str
) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(lines), at=NOW)
    assert sentence in page(cast.student, piece)
    assert answer(cast.student, "plan_paper_pdf", piece.pk, "base").status_code == 422


def test_rows_that_cannot_be_laid_are_refused_in_words(cast: School) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    piece.assignment.longest_coil_mm = 100
    piece.assignment.coil_mm = 40
    piece.assignment.save()
    assert "too short for these coils" in page(cast.student, piece)


def test_what_was_approved_is_printed_until_the_next_one_is(cast: School) -> None:
    first = sent(cast)
    approve(plan=first, by=cast.teacher, at=NOW)
    save_draft(piece=first.piece, drawn=drawn_plan(outline=Outline("oval", 0.8)), at=NOW)
    assert "Plan 1, approved Wed 11 Mar." in words(printed(cast.student, first.piece, "base"))
    second = send_plan(piece=first.piece, by=cast.student, at=NOW)
    assert "Plan 1, approved" in words(printed(cast.student, first.piece, "base"))
    approve(plan=second, by=cast.teacher, at=NOW)
    assert "Plan 2, approved" in words(printed(cast.student, first.piece, "base"))


def test_what_was_sent_back_is_printed_no_more(cast: School) -> None:
    plan = sent(cast)
    send_back(plan=plan, by=cast.teacher, at=NOW, note="Thicker at the foot.")
    assert PlanVersion.objects.get().state == PlanState.SENT_BACK
    assert "There is no plan to print yet" in page(cast.student, plan.piece)


def test_a_plan_begins_in_the_next_lesson_and_a_pot_when_it_was_begun(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The class meets on Mondays and Wednesdays; today is Wednesday 11 March."""
    plan = sent(cast)
    assert "By Mon 16 Mar: row" in words(printed(cast.student, plan.piece, "bench"))
    assert "By Wed 11 Mar" not in words(printed(cast.student, plan.piece, "bench"))
    pot = a_pot(cast)
    monkeypatch.setattr(timezone, "now", lambda: NOW + timedelta(days=20))
    said = words(printed(cast.student, pot.piece, "bench"))
    assert "By Wed 11 Mar: row" in said
    assert "By Mon 16 Mar: row" in said


def test_the_page_of_a_piece_names_the_same_lessons_as_its_bench_card(cast: School) -> None:
    """Of a plan they begin on Monday, of a pot that was begun on Wednesday with that one."""
    plan = sent(cast)
    for piece in (plan.piece, a_pot(cast).piece):
        card = words(printed(cast.student, piece, "bench"))
        ends = re.findall(r"By \w+ \d+ \w+: row (\d+)", card)
        assert len(ends) > 1
        listed = f"{', '.join(ends[:-1])} and {ends[-1]}"
        for person, name in ((cast.student, "piece"), (cast.teacher, "piece_seen")):
            said = answer(person, name, piece.pk).content.decode()
            assert f"Lessons end after rows {listed}: keep the edge damp" in said


def test_a_pot_keeps_to_its_own_plan_and_one_that_broke_does_not_count(cast: School) -> None:
    pot = a_pot(cast)
    save_draft(piece=pot.piece, drawn=drawn_plan(base_mm=14.0), at=NOW)
    second = send_plan(piece=pot.piece, by=cast.student, at=NOW)
    approve(plan=second, by=cast.teacher, at=NOW)
    assert "plan 1, approved" in words(printed(cast.student, pot.piece, "bench"))
    lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
    assert "plan 2, approved" in words(printed(cast.student, pot.piece, "bench"))


def test_a_pot_that_carries_on_is_printed_with_its_new_rows(cast: School) -> None:
    """It was measured 206 mm wide at 100 mm, where 190 were planned; asked after row 4."""
    carried = asked(cast, 4)
    before = words(printed(cast.student, carried.pot.piece, "bench"))
    agree_to_carry_on(asked=carried, by=cast.teacher, at=SOON)
    said = words(printed(cast.student, carried.pot.piece, "bench"))
    assert said != before
    for row in carried.figures["rows"]:
        assert f"{row['row']} {row['height_mm'] / 10:.1f} {row['front_mm'] / 10:.1f} " in said
    read = printed(cast.student, carried.pot.piece, "template")
    assert "This pot carries on from row 4" in words(read)
    found = all_paths(read)
    ground, axis = table(found), the_axis(found)
    at = [x - axis for x in crossings(found, ground - 100)]
    assert at == pytest.approx([103] * len(at), abs=0.1)


def test_a_consent_that_is_gone_again_changes_nothing(cast: School) -> None:
    pot = a_pot(cast)
    (found,) = plans_on_paper([pot.piece], cast.student, NOW.date())
    plain = found.paper(str)
    assert replace(found, carries_on=True).paper(str).listed == plain.listed


def test_its_code_opens_the_piece_s_page(cast: School) -> None:
    piece = sent(cast).piece
    read = printed(cast.student, piece, "bench")
    found, _points, _straight = cv2.QRCodeDetectorAruco().detectAndDecode(read.grey())
    assert found == f"http://testserver{piece.get_absolute_url()}"


def test_a_kind_that_there_is_not_is_not_found(cast: School) -> None:
    plan = sent(cast)
    assert answer(cast.student, "plan_paper_pdf", plan.piece.pk, "poster").status_code == 404


def test_the_scale_card_comes_on_the_paper_that_was_asked_for(cast: School) -> None:
    for paper, size in (("letter", (215.9, 279.4)), ("", (210.0, 297.0)), ("x", (210.0, 297.0))):
        got = answer(cast.student, "scale_card_pdf", paper=paper)
        assert Print(got.content).sizes_mm[0] == pytest.approx(size, abs=0.01)
