"""Every field of the plan page without JavaScript; what is wrong is said at the field."""

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from planning.geometry.inputs import FootRing, Outline
from planning.models import Piece, PlanState, PlanVersion
from planning.plans.inputs import Drawn, drawn_from_json
from planning.services.plans import save_draft
from tests.cast import NOW, School, signed_in
from tests.planning.views.test_plans import ROWS, piece, typed  # noqa: F401 -- a fixture
from tests.planning.work import a_piece, drawn_plan, send

TRACED = ((-40.0, -20.0), (40.0, -20.0), (50.0, 0.0), (40.0, 20.0), (-40.0, 20.0), (-50.0, 0.0))


@pytest.fixture
def browser(cast: School, piece: Piece) -> Client:  # noqa: F811 -- the fixture
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    return signed_in(cast.student)


def kept() -> Drawn:
    return drawn_from_json(PlanVersion.objects.get().inputs)


def saved(browser: Client, **changed: str) -> str:
    """What the page says when the form is saved with these fields."""
    return _posted(browser, {"save": "1"} | changed)


def sent(browser: Client, *rows: tuple[str, str, str], **changed: str) -> str:
    return _posted(browser, {"send": "1"} | changed, rows or ROWS)


def live(browser: Client, *rows: tuple[str, str, str], **changed: str) -> str:
    address = reverse("plan_live", args=[PlanVersion.objects.get().piece_id])
    data = typed(PlanVersion.objects.get().piece, *(rows or ROWS)) | changed
    return browser.post(address, data).content.decode()


def _posted(
    browser: Client, changed: dict[str, Any], rows: tuple[tuple[str, str, str], ...] = ROWS
) -> str:
    owner = PlanVersion.objects.get().piece
    address = reverse("plan", args=[owner.pk])
    return browser.post(address, typed(owner, *rows) | changed, follow=True).content.decode()


def field(page: str, name: str) -> str:
    """The part of the page that belongs to a field: what stands between it and its neighbours."""
    parts = page.split('<div class="field')
    (found,) = [part for part in parts if re.search(rf'id="id_{name}"', part)]
    return found


@pytest.mark.parametrize(
    ("changed", "outline"),
    [
        ({"outline": "leaf", "depth_pct": "60"}, Outline("leaf", 0.6)),
        (
            {"outline": "rounded_square", "depth_pct": "80", "corner_pct": "30"},
            Outline("rounded_square", 0.8, 0.3),
        ),
        ({"outline": "rounded_square", "corner_pct": "30"}, Outline("rounded_square", 1, 0.3)),
        ({"outline": "round", "depth_pct": "x", "corner_pct": "200"}, Outline("round")),
    ],
)
def test_an_outline_is_kept_with_what_it_needs(
    browser: Client, changed: dict[str, str], outline: Outline
) -> None:
    saved(browser, **changed)
    assert kept().outline == outline
    assert kept().rim_outline is None


def test_the_rim_may_have_another_outline(browser: Client) -> None:
    page = saved(browser, outline="oval", depth_pct="70", rim_outline="round")
    assert (kept().outline, kept().rim_outline) == (Outline("oval", 0.7), Outline("round"))
    assert "Base and rim from above" in page
    saved(browser, outline="oval", depth_pct="70", rim_outline="")
    assert kept().rim_outline is None


@pytest.mark.parametrize(
    ("changed", "name", "said"),
    [
        ({"outline": "leaf"}, "depth_pct", "Say how deep the leaf is"),
        ({"outline": "rounded_square"}, "corner_pct", "Say how round the corners are"),
        ({"rim_outline": "oval"}, "rim_depth_pct", "Say how deep the oval is"),
        ({"rim_outline": "rounded_square"}, "rim_corner_pct", "Say how round the corners are"),
        ({"outline": "traced"}, "outline_0", "is not on the list"),
        ({"foot_width": "1"}, "foot_height", "Say how high the ring is"),
        ({"foot_height": "1"}, "foot_width", "Say how wide the ring is"),
        ({"added": "plenty"}, "added", "can&#x27;t be read as a measure"),
        ({"added": "30 kg"}, "added", "is too much"),
        ({"wall_rim": ""}, "wall_rim", "A measure is missing here"),
    ],
)
def test_what_is_missing_is_said_at_its_field_and_nothing_is_kept(
    browser: Client, changed: dict[str, str], name: str, said: str
) -> None:
    before = kept()
    page = saved(browser, **changed)
    assert said in field(page, name)
    assert f'href="#id_{name}"' in page
    assert kept() == before


@pytest.mark.parametrize(
    ("changed", "name", "said"),
    [
        ({"outline": "leaf", "depth_pct": "150"}, "depth_pct", "The depth is between 0.1 and 1"),
        ({"rim_outline": "leaf", "rim_depth_pct": "150"}, "rim_depth_pct", "The depth is between"),
        ({"foot_width": "6", "foot_height": "1"}, "foot_width", "leaves no room inside it"),
        ({"base": "9.99", "lines-2-height": "9.9", "lines-1-height": "5"}, "base", "The base is"),
        ({"wall_base": "10", "wall_rim": "10"}, "wall_base", "fills the whole pot"),
    ],
)
def test_what_can_not_be_computed_is_said_at_its_field_and_stays_a_draft(
    browser: Client, changed: dict[str, str], name: str, said: str
) -> None:
    page = sent(browser, **changed)
    assert "Saved, but not sent" in page
    assert said in field(page, name)
    assert f'href="#id_{name}"' in page
    assert PlanVersion.objects.get().state == PlanState.DRAFT


def test_a_line_that_crosses_the_axis_is_marked(browser: Client) -> None:
    page = sent(browser, ROWS[0], ("10", "0", "9.5"), ROWS[2])
    assert 'href="#id_lines-1-left"' in page
    marked = re.search(r'<tr class="wrong">.*?</tr>\s*<tr>.*?</tr>', page, re.S)
    assert marked is not None
    assert "touches or crosses the axis" in marked[0]
    assert "id_lines-1-left" in marked[0]


def test_a_foot_ring_and_added_parts_are_kept_in_millimetres_and_grams(browser: Client) -> None:
    saved(browser, foot_width="1.2", foot_height="8 mm", added="0.18")
    assert kept().foot_ring == FootRing(12, 8)
    assert kept().added_g == 180
    page = saved(browser)
    assert kept().foot_ring is None
    assert kept().added_g == 0
    assert not re.search(r"<details[^>]* open", page)


def test_what_folds_is_open_where_something_stands_in_it(browser: Client) -> None:
    page = saved(browser, added="0.18", **{"lines-0-front": "5", "lines-0-back": "5"})
    opened = re.findall(r"<details class=\"fold[^>]* open><summary>([^<]*)", page)
    assert opened == ["I drew the side as well", "Handles and other added parts"]


def test_a_side_drawing_takes_the_place_of_the_depth(browser: Client) -> None:
    side = {
        f"lines-{row}-{name}": value
        for row, value in ((0, "4"), (1, "7"), (2, "5"))
        for name in ("front", "back")
    }
    saved(browser, outline="oval", **side)
    assert kept().side is not None
    assert [line.front_mm for line in kept().lines] == [40, 70, 50]
    sent(browser, outline="oval", **side)
    assert PlanVersion.objects.get().state == PlanState.SENT


def test_a_side_drawing_is_measured_on_both_sides(browser: Client) -> None:
    page = sent(browser, **{"lines-1-front": "7"})
    assert "Measure front and back here, or neither." in page
    assert 'href="#id_lines-1-back"' in page


def test_what_is_wrong_with_a_side_drawing_is_said_at_its_line(browser: Client) -> None:
    """The side drawing begins at the second line: its first point is not at the table."""
    side = {f"lines-{row}-{name}": "5" for row in (1, 2) for name in ("front", "back")}
    page = sent(browser, **side)
    assert "Begin at the base edge, at height 0" in page
    assert 'href="#id_lines-1-height"' in page


def test_the_points_of_a_traced_outline_outlast_another_choice(
    cast: School,
    piece: Piece,  # noqa: F811 -- the fixture
) -> None:
    traced = Outline("traced", points=TRACED)
    save_draft(piece=piece, drawn=drawn_plan(outline=traced), at=NOW)
    browser = signed_in(cast.student)
    page = saved(browser, outline="traced")
    assert kept().outline == traced
    assert "as I traced it" in page
    saved(browser, outline="oval", depth_pct="70")
    assert kept().outline == Outline("oval", 0.7, points=TRACED)
    saved(browser, outline="round", rim_outline="traced")
    assert kept().rim_outline == traced
    assert "Clay to take" in live(browser, outline="traced")


def test_the_live_answer_comes_in_parts(browser: Client) -> None:
    page = live(browser)
    assert re.findall(r'data-part="(\w+)"', page) == [
        "drawing", "above", "bar", "figures", "checks", "rows",
    ]  # fmt: skip
    assert page.count('role="slider"') == 6
    assert "11 rows of coils" in page
    assert re.search(r"<tbody>(.*?)</tbody>", page, re.S)[1].count("<tr>") == 11  # type: ignore[index]


def test_a_drawing_that_a_hand_holds_keeps_its_scale_and_leaves_the_list_of_rows(
    browser: Client,
) -> None:
    held = live(browser, scale="1", still="")
    assert 'data-scale="1.000000"' in held
    assert 'data-part="rows"' not in held


@pytest.mark.parametrize("nonsense", ["", "wide", "nan", "inf", "-1", "1e9"])
def test_a_scale_that_can_not_be_meant_is_not_taken(browser: Client, nonsense: str) -> None:
    usual = re.findall(r'data-scale="[\d.]+"', live(browser))
    assert re.findall(r'data-scale="[\d.]+"', live(browser, scale=nonsense, still="")) == usual


def test_a_handle_says_its_measure_as_the_field_takes_it(cast: School, browser: Client) -> None:
    cast.studio.length_unit = "in"
    cast.studio.save()
    page = live(browser, ("0", "2", "2"), ("4", "3 1/4", "3.25"), ("8", "2 3/8", "2 3/8"))
    grip = re.search(r'<g class="handle"[^>]*data-field="lines-1-left"[^>]*>', page)
    assert grip is not None
    assert 'data-half="82.5500"' in grip[0]
    assert 'data-text="3 1/4"' in grip[0]
    assert 'aria-label="Line 2, left"' in grip[0]
    assert 'data-step="1.5875" data-leap="6.3500"' in page  # 1/16 in and 1/4 in


def test_a_line_added_at_the_end_has_its_handle_by_its_own_row(browser: Client) -> None:
    page = live(browser, *ROWS, ("15", "8.5", ""))
    heights = dict(re.findall(r'data-field="lines-(\d)-left"[^>]*data-y="([\d.]+)"', page))
    assert float(heights["2"]) < float(heights["3"]) < float(heights["1"])
    assert 'data-field="lines-3-right"' not in page


def test_a_form_that_can_not_be_built_is_drawn_as_its_lines_with_the_reason(
    browser: Client,
) -> None:
    page = live(browser, ROWS[0], ("10", "0", "0"), ROWS[2])
    assert 'class="profile"' not in page
    assert page.count('role="slider"') == 6
    assert "Clay to take" not in page
    assert '<a href="#id_lines-1-left">At height line 2' in page


def test_what_can_not_be_read_leaves_the_drawing_and_names_the_line(browser: Client) -> None:
    page = live(browser, *ROWS[:2], ("20", "six", "6"))
    assert 'data-part="drawing"' not in page
    assert '<a href="#id_lines-2-left">Left' in page


def test_the_teacher_sees_the_same_picture_rows_and_outline(cast: School) -> None:
    ring = FootRing(10, 8)
    plan = send(cast, a_piece(cast), outline=Outline("leaf", 0.6), foot_ring=ring)
    page = signed_in(cast.teacher).get(reverse("plan_review", args=[plan.pk])).content.decode()
    assert "Base and rim from above" in page
    assert 'class="foot-ring"' in page
    rows = re.search(r'class="row-list">.*?<tbody>(.*?)</tbody>', page, re.S)
    assert rows is not None
    assert plan.figures is not None
    assert rows[1].count("<tr>") == len(plan.figures["rows"])
