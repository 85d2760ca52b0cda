"""From paper to plan on the student's pages: sending, tapping, correcting, taking."""

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import escape
from pytest_django import DjangoAssertNumQueries

from planning.models import Piece, PlanPhoto, PlanVersion
from planning.services.plan_lines import begin_by_hand
from planning.services.plans import send_plan
from tests.cast import NOW, School, signed_in
from tests.planning.plan_photos import (
    CARD,
    FOUR,
    ROWS,
    chosen_piece,
    file_of,
    photographed,
    read,
    sent,
    traced,
    untraced,
)
from tests.planning.work import a_piece

pytestmark = pytest.mark.django_db


@pytest.fixture
def piece(cast: School) -> Piece:
    return chosen_piece(cast)


@pytest.fixture
def student(cast: School) -> Client:
    return signed_in(cast.student)


def page(client: Client, photo: PlanPhoto) -> str:
    response = client.get(reverse("plan_photo", args=[photo.pk]))
    assert response.status_code == 200
    return response.content.decode()


def act(client: Client, name: str, photo: PlanPhoto, **data: Any) -> Any:
    return client.post(reverse(name, args=[photo.pk]), data, follow=True)


def halves(**changed: str) -> dict[str, str]:
    """The fields of ROWS in centimetres, the studio's unit, with some of them changed."""
    fields: dict[str, str] = {}
    for place, (_height, left, right) in enumerate(ROWS):
        fields |= {f"left_{place}": f"{left / 10:.1f}", f"right_{place}": f"{right / 10:.1f}"}
    return fields | changed


def test_a_sent_photo_leads_to_its_own_page(student: Client, piece: Piece) -> None:
    address = reverse("plan_photos", args=[piece.pk])
    assert "How to draw and photograph it" in student.get(address).content.decode()
    sent_form = {"shows": "front", "scale": "card", "spacing": "2"}
    response = student.post(address, {"photo": file_of(photographed()), **sent_form})
    photo = PlanPhoto.objects.get(piece=piece)
    assert response["Location"] == reverse("plan_photo", args=[photo.pk])
    assert (photo.spacing_mm, photo.scale) == (20, "card")
    assert "is being opened" in page(student, photo)
    assert 'hx-trigger="every 1500ms"' in page(student, photo)
    again = student.post(address, {"photo": file_of(photographed()), **sent_form})
    assert "This photo is here already." in again.content.decode()


def test_measures_of_tapped_lines_are_asked_for_where_they_lack(
    student: Client, piece: Piece
) -> None:
    address = reverse("plan_photos", args=[piece.pk])
    form = {"photo": file_of(photographed()), "shows": "front", "scale": "four", "lower": ""}
    answer = student.post(address, form).content.decode()
    assert "Say how high the upper one is" in answer
    assert not PlanPhoto.objects.exists()
    form = {"photo": file_of(photographed()), "shows": "front", "scale": "two"}
    student.post(address, form | {"upper": "28", "left": "3", "lower": ""})
    photo = PlanPhoto.objects.get()
    assert (photo.lower_mm, photo.upper_mm, photo.left_mm) == (0, 280, None)
    assert photo.paper_mm == [[0, 0], [0, 280]]


def test_all_that_lacks_is_said_at_once_and_what_was_typed_stays(
    student: Client, piece: Piece
) -> None:
    """The photo lacks too: a browser sends it anew only when it is chosen anew."""
    form = {"shows": "side", "scale": "four", "spacing": "2.5", "lower": "1", "left": "wide"}
    answer = student.post(reverse("plan_photos", args=[piece.pk]), form).content.decode()
    for field in ("photo", "upper", "right", "left"):
        assert f'href="#id_{field}"' in answer
    assert "4 things need another look" in answer
    for typed in ("2.5", "1", "wide"):
        assert f'value="{typed}"' in answer
    assert re.search(r'value="side"[^>]*checked', answer)
    answer = student.post(
        reverse("plan_photos", args=[piece.pk]), form | {"photo": file_of(photographed())}
    ).content.decode()
    assert "3 things need another look" in answer
    assert "Choose the photo once more" in answer


def test_without_a_chosen_design_the_page_leads_back(student: Client, cast: School) -> None:
    piece = a_piece(cast)
    response = student.get(reverse("plan_photos", args=[piece.pk]), follow=True)
    assert "Choose a design first" in response.content.decode()


def test_the_list_says_how_far_each_photo_is(
    student: Client, piece: Piece, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    traced(sent(piece))
    untraced(sent(piece, shows="side"), placed=False)
    with django_assert_max_num_queries(15):
        said = student.get(reverse("plan_photos", args=[piece.pk])).content.decode()
    assert "traced, not taken yet" in said
    assert "could not be traced" in said


def test_a_traced_photo_shows_its_lines_in_the_pixels_of_the_picture(
    student: Client, piece: Piece
) -> None:
    said = page(student, traced(sent(piece)))
    assert 'viewBox="0 0 600 800"' in said
    # 4 px a mm, the axis at x = 300, the table at y = 760: 65 mm left and 64 mm right at 100 mm.
    for place in ('cx="40.0" cy="360.0"', 'cx="556.0" cy="360.0"'):
        assert place in said
    assert "Left and right differ by 0.2\xa0cm at the most, at a height of 0.0\xa0cm." in said
    assert said.count('class="handle"') == 8


def test_half_a_pot_has_handles_on_its_side_only_and_one_column(
    student: Client, piece: Piece
) -> None:
    photo = traced(sent(piece))
    PlanPhoto.objects.filter(pk=photo.pk).update(sides="left")
    said = page(student, photo)
    assert said.count('class="handle"') == 4
    assert 'data-sign="-1"' in said
    assert 'data-sign="1"' not in said
    assert "the other half is taken as its mirror image" in said
    act(student, "plan_photo_correct", photo, **{f"left_{n}": "5" for n in range(4)})
    photo.refresh_from_db()
    assert photo.lines[1] == [50, 50, 50]


def test_a_drawing_from_the_side_has_a_front_and_a_back(student: Client, piece: Piece) -> None:
    photo = traced(sent(piece, shows="side"))
    assert str(photo).endswith("the pot from the side, its front to the left")
    said = page(student, photo)
    assert "Front at 5.0" in said
    assert "Left at" not in said
    assert "differ by" not in said


def test_sides_that_are_alike_are_said_to_be(student: Client, piece: Piece) -> None:
    photo = traced(sent(piece))
    same = {f"{side}_{n}": "5" for side in ("left", "right") for n in range(4)}
    assert (
        "Left and right are alike."
        in act(student, "plan_photo_live", photo, **same).content.decode()
    )


def test_a_correction_without_any_script_is_kept_and_taken_into_the_plan(
    student: Client, piece: Piece
) -> None:
    photo = traced(sent(piece))
    act(student, "plan_photo_correct", photo, save="1", **halves(left_1="6.4"))
    photo.refresh_from_db()
    assert photo.lines[1] == [50, 64, 61]
    response = act(student, "plan_photo_correct", photo, take="1", **halves(left_1="6.6"))
    assert "Taken into your plan." in response.content.decode()
    kept = PlanVersion.objects.get(piece=piece).inputs["lines"]
    assert [line[:3] for line in kept][1] == [50, 66, 61]
    assert "in the plan" in student.get(reverse("plan_photos", args=[piece.pk])).content.decode()


def test_a_window_that_stayed_open_writes_over_no_later_tracing(
    student: Client, piece: Piece
) -> None:
    photo = traced(sent(piece))
    assert '<input type="hidden" name="asked" value="0"' in page(student, photo)
    photo.asked = 1
    photo.save()
    said = act(student, "plan_photo_correct", photo, asked="0", **halves(left_1="6.4"))
    assert "This photo was traced anew meanwhile. Look again." in said.content.decode()
    photo.refresh_from_db()
    assert photo.lines == ROWS


def test_a_measure_that_can_not_be_read_stands_at_its_field(student: Client, piece: Piece) -> None:
    photo = traced(sent(piece))
    said = act(student, "plan_photo_correct", photo, **halves(right_2="wide")).content.decode()
    assert escape("“wide” can't be read as a measure.") in said
    assert 'href="#id_right_2"' in said
    photo.refresh_from_db()
    assert photo.lines == ROWS


def test_what_changes_while_a_handle_is_dragged_is_answered_and_not_kept(
    student: Client, piece: Piece
) -> None:
    photo = traced(sent(piece))
    said = act(student, "plan_photo_live", photo, **halves(left_1="7")).content.decode()
    assert 'cx="20.0" cy="560.0"' in said
    assert "differ by 0.9\xa0cm at the most, at a height of 5.0\xa0cm" in said
    said = act(student, "plan_photo_live", photo, **halves(left_1="?")).content.decode()
    assert 'cx="60.0" cy="560.0"' in said
    photo.refresh_from_db()
    assert photo.lines == ROWS


def test_points_are_tapped_in_a_photo_without_a_card(student: Client, piece: Piece) -> None:
    photo = read(sent(piece, scaled=FOUR))
    said = page(student, photo)
    assert "lower line, left end" in said
    assert said.count('class="tap"') == 4
    taps = {f"{axis}_{n}": "100" for axis in "xy" for n in range(4)}
    refused = act(student, "plan_photo_tap", photo, **(taps | {"x_3": "601", "y_2": ""}))
    assert "Tap this point in the photo." in refused.content.decode()
    photo.refresh_from_db()
    assert photo.wants_taps
    act(student, "plan_photo_tap", photo, **taps)
    photo.refresh_from_db()
    assert photo.taps == [[100, 100]] * 4
    assert "being traced" in page(student, photo)


def test_points_of_a_photo_with_a_card_are_not_taken(student: Client, piece: Piece) -> None:
    photo = read(sent(piece, scaled=CARD))
    act(student, "plan_photo_tap", photo, x_0="1")
    photo.refresh_from_db()
    assert photo.taps == []


def test_a_photo_that_could_not_be_traced_says_why_and_asks_for_points(
    student: Client, piece: Piece
) -> None:
    photo = untraced(sent(piece), placed=False)
    said = page(student, photo)
    assert "The outline has gaps or is too faint." in said
    assert "tap points whose places you know" in said
    assert reverse("plan_photo_by_hand", args=[photo.pk]) not in said
    form = {"scale": "four", "lower": "0", "upper": "14", "left": "10", "right": "10"}
    refused = act(student, "plan_photo_scale", photo, **(form | {"upper": "0"}))
    assert "Say how high the upper one is" in refused.content.decode()
    assert "Tap the points" in act(student, "plan_photo_scale", photo, **form).content.decode()
    unread = act(student, "plan_photo_scale", photo, scale="rod").content.decode()
    assert "is not on the list" in unread


def test_with_its_scale_known_it_is_traced_by_hand_over_the_photo(
    student: Client, piece: Piece
) -> None:
    photo = untraced(sent(piece, scaled=FOUR), placed=True)
    assert "Trace it by hand" in page(student, photo)
    wrong = act(student, "plan_photo_by_hand", photo, height="1", every="5", sides="both")
    assert "is too little" in wrong.content.decode()
    said = act(student, "plan_photo_by_hand", photo, height="15", every="5", sides="right")
    assert said.content.decode().count("handle unplaced") == 4
    fields = {f"right_{n}": "5" for n in range(4)}
    said = act(student, "plan_photo_correct", photo, take="1", **(fields | {"right_2": ""}))
    assert "some have no half-width yet" in said.content.decode()
    photo.refresh_from_db()
    assert photo.lines == [[0, 50, 50], [50, 50, 50], [100, None, None], [150, 50, 50]]
    act(student, "plan_photo_correct", photo, take="1", **fields)
    assert len(PlanVersion.objects.get(piece=piece).inputs["lines"]) == 4


def test_a_pot_traced_by_hand_on_both_sides_shows_where_nothing_is_placed(
    student: Client, piece: Piece
) -> None:
    photo = untraced(sent(piece, scaled=FOUR), placed=True)
    begin_by_hand(photo=photo, height_mm=100, every_mm=50, sides="both")
    said = page(student, photo)
    assert said.count("handle unplaced") == 6
    assert "differ by" not in said
    # At the end of the line that was tapped: 45 mm right of the axis; on the left, where the line
    # ends at the axis, at 60 mm.
    assert 'cx="480.0" cy="760.0"' in said
    assert 'cx="60.0" cy="760.0"' in said


def test_a_base_shows_its_line_and_becomes_the_outline(student: Client, piece: Piece) -> None:
    ring = [[-50, 0], [0, -30], [50, 0], [0, 30]]
    photo = traced(sent(piece, shows="base"), points=ring)
    PlanPhoto.objects.filter(pk=photo.pk).update(lines=[])
    said = page(student, photo)
    assert "M100 760L300 880L500 760L300 640Z" in said
    act(student, "plan_photo_correct", photo, take="1")
    assert PlanVersion.objects.get(piece=piece).inputs["outline"]["shape"] == "traced"


def test_a_removed_photo_is_gone(student: Client, piece: Piece) -> None:
    photo = traced(sent(piece))
    response = act(student, "plan_photo_remove", photo)
    assert "The photo is removed." in response.content.decode()
    assert not PlanPhoto.objects.exists()


def test_a_teacher_sees_what_was_traced_and_changes_nothing(cast: School, piece: Piece) -> None:
    photo = traced(sent(piece))
    teacher = signed_in(cast.teacher)
    said = page(teacher, photo)
    assert "Left and right differ" in said
    assert "Take it into the plan" not in said
    for name in ("correct", "live", "scale", "tap", "by_hand", "remove"):
        response = teacher.post(reverse(f"plan_photo_{name}", args=[photo.pk]))
        assert response.status_code == 403, name
    assert signed_in(cast.classmate).get(reverse("plan_photo", args=[photo.pk])).status_code == 404


def test_a_sent_plan_shows_its_teacher_the_photos_that_it_was_read_off(
    cast: School, student: Client, piece: Piece
) -> None:
    photo = traced(sent(piece))
    other = traced(sent(piece, shows="side"))
    act(student, "plan_photo_correct", photo, take="1", **halves())
    plan = send_plan(piece=piece, by=cast.student, at=NOW)
    teacher = signed_in(cast.teacher)
    said = teacher.get(reverse("plan_review", args=[plan.pk])).content.decode()
    assert reverse("plan_photo", args=[photo.pk]) in said
    assert reverse("plan_photo", args=[other.pk]) not in said


def test_a_photo_that_was_not_taken_says_why(student: Client, piece: Piece) -> None:
    photo = sent(piece)
    photo.image.state, photo.image.refusal_code = "refused", "broken"
    photo.image.save()
    assert "This file is damaged or incomplete." in page(student, photo)
