"""The student's plan page as a browser without JavaScript uses it, and the live answer."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from planning.models import Piece, PlanState, PlanVersion
from planning.services.plans import save_draft
from tests.cast import NOW, School, signed_in
from tests.planning.work import LINES, a_piece, choose, drawn_plan


@pytest.fixture
def piece(cast: School) -> Piece:
    made = a_piece(cast)
    choose(cast, made)
    return made


def typed(piece: Piece, *rows: tuple[str, str, str], **changed: str) -> dict[str, Any]:
    """The form as a student sends it, in the studio's centimetres."""
    data = {
        "outline": "round",
        "drawn_as": "wet",
        "wall_base": "0.8",
        "wall_rim": "0.8",
        "base": "1",
        "lines-TOTAL_FORMS": str(len(rows)),
        "lines-INITIAL_FORMS": "0",
    }
    for place, (height, left, right) in enumerate(rows):
        data |= {
            f"lines-{place}-height": height,
            f"lines-{place}-left": left,
            f"lines-{place}-right": right,
        }
    return data | changed


ROWS = (("0", "5", "5.2"), ("10", "9.5", "9.5"), ("20", "6", "6"))


def test_a_plan_begins_with_its_height_and_lines(cast: School, piece: Piece) -> None:
    browser = signed_in(cast.student)
    address = reverse("plan", args=[piece.pk])
    assert "Begin the plan" in browser.get(address).content.decode()
    browser.post(address, {"height": "21", "every": "2"})
    lines = PlanVersion.objects.get().inputs["lines"]
    assert [line[0] for line in lines][-2:] == [200, 210]
    assert len(lines) == 12


def test_lines_in_between_find_their_place_when_saved(cast: School, piece: Piece) -> None:
    browser = _with_draft(cast, piece)
    rows = (*ROWS, ("15", "8.5", "8.4"))
    browser.post(reverse("plan", args=[piece.pk]), typed(piece, *rows, save="1"))
    assert PlanVersion.objects.get().inputs["lines"] == [
        [0, 50, 52],
        [100, 95, 95],
        [150, 85, 84],
        [200, 60, 60],
    ]


def test_sending_an_unmeasured_plan_saves_it_and_points_at_the_line(
    cast: School, piece: Piece
) -> None:
    browser = _with_draft(cast, piece)
    rows = (*ROWS[:2], ("20", "", "6"))
    page = browser.post(reverse("plan", args=[piece.pk]), typed(piece, *rows, send="1"))
    text = page.content.decode()
    assert "Measure left and right here" in text
    plan = PlanVersion.objects.get()
    assert (plan.state, plan.inputs["lines"][2]) == (PlanState.DRAFT, [200, None, 60])


def test_what_cannot_be_read_is_said_at_its_field_and_nothing_is_lost(
    cast: School, piece: Piece
) -> None:
    browser = _with_draft(cast, piece)
    rows = (*ROWS[:2], ("20", "six", "6"))
    page = browser.post(reverse("plan", args=[piece.pk]), typed(piece, *rows, save="1"))
    text = page.content.decode()
    assert "“six” can&#x27;t be read as a measure" in text
    assert 'value="six"' in text
    assert "One of the numbers needs another look" in text
    assert "Clay to take" not in text
    assert PlanVersion.objects.get().inputs["lines"] == [
        [line.height_mm, line.left_mm, line.right_mm] for line in LINES
    ]


def test_a_measured_plan_is_sent(cast: School, piece: Piece) -> None:
    browser = _with_draft(cast, piece)
    page = browser.post(reverse("plan", args=[piece.pk]), typed(piece, *ROWS, send="1"))
    assert page.headers["Location"] == reverse("piece", args=[piece.pk])
    assert PlanVersion.objects.get().state == PlanState.SENT
    assert "Your plan is with the teacher" in browser.get(page.headers["Location"]).content.decode()


def test_an_oval_asks_for_its_depth(cast: School, piece: Piece) -> None:
    browser = _with_draft(cast, piece)
    data = typed(piece, *ROWS, save="1", outline="oval")
    page = browser.post(reverse("plan", args=[piece.pk]), data)
    assert "Say how deep the oval is" in page.content.decode()
    browser.post(reverse("plan", args=[piece.pk]), data | {"depth_pct": "70"})
    kept = PlanVersion.objects.get().inputs["outline"]
    assert (kept["shape"], kept["depth_ratio"]) == ("oval", 0.7)


def test_the_live_answer_draws_and_weighs_and_keeps_nothing(cast: School, piece: Piece) -> None:
    browser = _with_draft(cast, piece)
    before = PlanVersion.objects.get().inputs
    address = reverse("plan_live", args=[piece.pk])
    text = browser.post(address, typed(piece, *ROWS)).content.decode()
    assert "<svg" in text
    assert "Clay to take" in text
    narrow = (ROWS[0], ("10", "0.5", "0.5"), ROWS[2])
    assert "fills the whole pot" in browser.post(
        address, typed(piece, *narrow)
    ).content.decode() or (
        "cuts the hollow in two" in browser.post(address, typed(piece, *narrow)).content.decode()
    )
    assert "One of the numbers needs another look" in browser.post(
        address, {"outline": "cube"}
    ).content.decode().replace("&#x27;", "'")
    assert PlanVersion.objects.get().inputs == before


def test_new_height_lines_drop_what_was_measured(cast: School, piece: Piece) -> None:
    browser = _with_draft(cast, piece)
    address = reverse("plan_begin_again", args=[piece.pk])
    browser.post(address, {"height": "99999", "every": "2"})
    assert len(PlanVersion.objects.get().inputs["lines"]) == len(LINES)
    browser.post(address, {"height": "10", "every": "2.5"})
    assert [line[0] for line in PlanVersion.objects.get().inputs["lines"]] == [0, 25, 50, 75, 100]


def _with_draft(cast: School, piece: Piece) -> Client:
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    return signed_in(cast.student)
