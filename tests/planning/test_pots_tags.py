"""Shelves, legends and drawings say in words what they show, and mark what waits."""

import pytest
from django.template import Context, Template

from planning.pictures.measured import PlanDrawing
from planning.pictures.outline import Sample
from planning.pictures.shelf import Ware
from planning.templatetags.pots import STAGES
from studio.web.shown import NBSP

POT: list[Sample] = [(0, 40, 40), (140, 90, 92), (280, 60, 60)]


class Inches:
    length_unit = "in"
    mass_unit = "lb"


def ware(stage: str = "wet", **more: object) -> Ware:
    label = str(STAGES[stage])
    said = {"code": "K7-3F", "name": "Ode A.", "url": "/pieces/1/", "stage_label": label}
    return Ware(stage=stage, **(said | {"silhouette": POT} | more))  # type: ignore[arg-type]


def drawn(source: str, **context: object) -> str:
    return Template("{% load pots %}" + source).render(Context(context)).replace(NBSP, " ")


SHELF = '{% include "planning/_shelf.html" %}'
LEGEND = '{% include "planning/_legend.html" %}'


@pytest.mark.parametrize("stage", STAGES)
def test_every_stage_has_its_own_drawing(stage: str) -> None:
    html = drawn(SHELF, wares=[ware(stage)])
    others = {drawn(SHELF, wares=[ware(other)]) for other in STAGES if other != stage}
    assert html not in others
    assert f"<title>{STAGES[stage]}</title>" in html


def test_a_stage_is_never_told_by_colour_alone() -> None:
    html = drawn(SHELF, wares=[ware("bone_dry")])
    assert "url(#clay-bone_dry)" in html
    assert '<span class="visually-hidden">bone dry</span>' in html


def test_a_late_piece_carries_a_flag_and_its_words() -> None:
    html = drawn(SHELF, wares=[ware(flag="Late: still drawing")])
    assert 'class="mark"' in html
    assert '<span class="visually-hidden">wet. Late: still drawing</span>' in html


def test_the_view_for_the_class_has_no_marks() -> None:
    wares = [ware(flag="Late: still drawing"), ware(question="Asks about a coil")]
    for part in (SHELF, LEGEND):
        html = drawn(part, wares=wares, plain=True)
        assert "Late" not in html
        assert "Asks" not in html
        assert "waits for you" not in html
        assert 'class="mark"' not in html


def test_the_view_for_the_class_may_leave_names_away() -> None:
    html = drawn(SHELF, wares=[ware()], nameless=True)
    assert "Ode" not in html
    assert "K7-3F" in html


def test_a_chosen_drawing_stands_where_no_plan_is() -> None:
    html = drawn(SHELF, wares=[ware("on_paper", silhouette=None, image_url="/images/1/")])
    assert '<img class="stand-sheet" src="/images/1/" alt="" loading="lazy">' in html
    assert "no drawing yet" not in html


def test_an_empty_place_says_how_far_the_piece_is() -> None:
    html = drawn(SHELF, wares=[ware("on_paper", silhouette=None, stage_label="3 thumbnails")])
    assert '<span class="stand-empty">3 thumbnails</span>' in html


def test_what_people_typed_cannot_become_markup() -> None:
    html = drawn(SHELF, wares=[ware(name="<b>Ode</b>", flag="<i>late</i>")])
    assert "<b>" not in html
    assert "<i>" not in html


def test_the_legend_shows_only_what_stands_there_in_order() -> None:
    html = drawn(LEGEND, wares=[ware("glazed"), ware("wet"), ware("wet")])
    assert html.index("wet</li>") < html.index("glazed</li>")
    assert "bone dry" not in html
    assert "late" not in html


def test_the_legend_explains_the_marks_that_are_there() -> None:
    html = drawn(LEGEND, wares=[ware(flag="Late"), ware(question="Asks")])
    assert "late</li>" in html
    assert "waits for you</li>" in html


def test_a_pot_alone_is_named_by_its_label_or_stage() -> None:
    assert "<title>leather-hard</title>" in drawn(
        '{% pot silhouette "leather_hard" %}', silhouette=POT
    )
    named = drawn('{% pot silhouette "wet" 90 "Ode’s bottle" %}', silhouette=POT)
    assert "<title>Ode’s bottle</title>" in named
    assert 'width="90"' in named


def test_the_plan_is_labelled_in_the_units_of_the_studio() -> None:
    plan = PlanDrawing(POT, POT)
    html = drawn("{% plan_drawing plan units %}", plan=plan, units=Inches())
    assert "11 in</text>" not in html
    assert ">11</text>" in html  # 280 mm is 11.02 in
    assert ">5 1/2</text>" in html
    assert "7 3/16 in at its widest" in html  # 182 mm is 7.165 in


def test_a_plan_without_units_is_in_millimetres() -> None:
    assert "182 mm at its widest" in drawn("{% plan_drawing plan %}", plan=PlanDrawing(POT))
