"""The pot in space: who gets which file, and what is said where there is no form yet."""

from io import BytesIO

import pytest
import trimesh
from django.test import Client
from django.urls import reverse

from planning.geometry.inputs import FootRing, Outline
from planning.models import PlanVersion
from planning.plans.inputs import Line
from planning.services.plans import save_draft
from planning.views.solids import FILES
from tests.cast import NOW, School, signed_in
from tests.planning.work import a_piece, a_piece_with_a_plan, choose, drawn_plan

LEAF = Outline("leaf", 0.5)


@pytest.fixture
def plan(cast: School) -> PlanVersion:
    return a_piece_with_a_plan(cast, "A leaf", outline=LEAF, foot_ring=FootRing(10, 8))


@pytest.fixture
def student(cast: School) -> Client:
    return signed_in(cast.student)


def draft_of(cast: School, lines: tuple[Line, ...]) -> PlanVersion:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(lines=lines), at=NOW)
    return PlanVersion.objects.get(piece=piece)


def read(content: bytes) -> trimesh.Trimesh:
    found = trimesh.load(BytesIO(content), file_type="stl")
    assert isinstance(found, trimesh.Trimesh)
    return found


def test_the_page_shows_the_pot_without_a_script_and_leads_to_both_files(
    plan: PlanVersion, student: Client
) -> None:
    page = student.get(reverse("solid", args=[plan.pk])).content.decode()
    assert 'class="solid-body" fill="url(#solid-light)" d="M' in page
    assert f'data-address="{reverse("solid_shape", args=[plan.pk])}"' in page
    assert reverse("solid_stl", args=[plan.pk, "wet"]) in page
    # 200 mm drawn and a foot ring of 8 mm, wet.
    assert "20.8\xa0cm tall, as you build it" in page


def test_the_file_is_named_after_the_piece_and_as_large_as_the_wet_pot(
    plan: PlanVersion, student: Client
) -> None:
    answer = student.get(reverse("solid_stl", args=[plan.pk, "wet"]))
    assert answer["Content-Disposition"] == f'attachment; filename="{plan.piece.code}-wet.stl"'
    assert answer["Content-Type"] == "model/stl"
    assert "no-store" in answer["Cache-Control"]
    solid = read(answer.content)
    assert solid.is_watertight
    assert solid.extents[2] == pytest.approx(208)
    figures = plan.figures
    assert figures is not None
    # Without the corner coil, and with the foot ring, which the plan's total counts too.
    clay = 1000 * (figures["volume_cm3"]["total"] - figures["volume_cm3"]["corner"])
    assert solid.volume == pytest.approx(clay, rel=1e-3)


def test_the_fired_one_is_smaller_by_the_whole_shrinkage(
    plan: PlanVersion, student: Client
) -> None:
    wet, fired = (
        read(student.get(reverse("solid_stl", args=[plan.pk, size])).content)
        for size in ("wet", "fired")
    )
    figures = plan.figures
    assert figures is not None
    shrunk = figures["size_mm"]["fired"]["height"] / figures["size_mm"]["wet"]["height"]
    assert fired.extents == pytest.approx(wet.extents * shrunk, rel=1e-5)


def test_what_turns_is_sent_as_whole_numbers(plan: PlanVersion, student: Client) -> None:
    answer = student.get(reverse("solid_shape", args=[plan.pk]))
    assert answer.json()["bands"]["outside"]["z"][-1] == 2080
    assert b" " not in answer.content


def test_a_draft_is_its_students_own(cast: School, student: Client) -> None:
    draft = draft_of(cast, drawn_plan().lines)
    address = reverse("solid", args=[draft.pk])
    assert student.get(address).status_code == 200
    assert signed_in(cast.teacher).get(address).status_code == 404


def test_a_draft_without_a_form_says_why_and_has_no_files(cast: School, student: Client) -> None:
    draft = draft_of(cast, (Line(0, 50, 50), Line(200)))
    page = student.get(reverse("solid", args=[draft.pk]))
    assert page.status_code == 200
    assert "The plan has no form yet." in page.content.decode()
    assert "data-solid" not in page.content.decode()
    for address in (
        reverse("solid_shape", args=[draft.pk]),
        reverse("solid_stl", args=[draft.pk, "wet"]),
    ):
        assert student.get(address).status_code == 422


def test_a_teacher_turns_the_pots_of_the_class(cast: School, plan: PlanVersion) -> None:
    page = signed_in(cast.teacher).get(reverse("solid", args=[plan.pk])).content.decode()
    assert f"Turn the pot of {cast.student.short_name}" in page


def test_there_is_no_other_size(plan: PlanVersion, student: Client) -> None:
    assert student.get(reverse("solid_stl", args=[plan.pk, "dry"])).status_code == 404


def test_who_asks_for_a_second_file_meanwhile_is_asked_to_wait(
    cast: School, plan: PlanVersion, student: Client
) -> None:
    with FILES.taken_by(cast.student.pk):
        answer = student.get(reverse("solid_stl", args=[plan.pk, "wet"]))
    assert answer.status_code == 422
    assert "Try again in a moment." in answer.content.decode()
