"""Sending photos page by page and one by one, and looking at them."""

import pytest
from django.urls import reverse

from planning.models import Thumbnail
from planning.services.drawings import withdraw
from planning.services.source_forms import retire_source_form
from studio.uploads.models import StoredImage
from tests.cast import NOW, School, signed_in
from tests.planning.work import a_piece, draw, photo, source_forms

pytestmark = pytest.mark.both_databases


def test_several_photos_at_once_and_a_bad_one_leaves_the_others(cast: School) -> None:
    piece = a_piece(cast)
    (form, *_rest) = source_forms(cast)
    bad = photo(3, "notes.txt")
    bad.file.seek(0)  # type: ignore[union-attr]
    bad.file.write(b"shopping: clay, string")  # type: ignore[union-attr]
    browser = signed_in(cast.student)
    answer = browser.post(
        reverse("thumbnails_add", args=[piece.pk]),
        {"photos": [photo(1), bad, photo(2)], "source_form": form.pk},
        follow=True,
    )
    text = answer.content.decode()
    assert "2 photos received." in text
    assert "notes.txt:" in text
    assert [each.source_form for each in Thumbnail.objects.all()] == [form, form]


def test_a_script_sends_one_photo_and_gets_its_sheet(cast: School) -> None:
    piece = a_piece(cast)
    browser = signed_in(cast.student)
    address = reverse("thumbnails_add", args=[piece.pk])
    headers = {"X-Requested-With": "fetch"}
    answer = browser.post(address, {"photos": photo(1)}, headers=headers).json()
    assert answer["ok"]
    assert "idea.jpg is being looked at" in answer["html"]
    again = browser.post(address, {"photos": photo(1)}, headers=headers)
    assert (again.status_code, again.json()["message"]) == (422, "This photo is here already.")
    none = browser.post(address, {}, headers=headers).json()
    assert none == {"ok": False, "message": "Choose one or more photos first."}


def test_a_card_asks_again_until_the_photo_is_read(
    cast: School, django_capture_on_commit_callbacks: object
) -> None:
    piece = a_piece(cast)
    browser = signed_in(cast.student)
    with django_capture_on_commit_callbacks(execute=True):  # type: ignore[operator]
        browser.post(reverse("thumbnails_add", args=[piece.pk]), {"photos": photo(1)})
    drawing = Thumbnail.objects.get()
    card = browser.get(reverse("drawing_card", args=["thumbnail", drawing.pk])).content.decode()
    assert "hx-get" not in card
    image = browser.get(reverse("drawing_image", args=["thumbnail", drawing.pk, "small"]))
    assert image.headers["Content-Type"] == "image/jpeg"
    assert image.headers["Cache-Control"] == "no-store, private"
    assert b"".join(image.streaming_content)[:2] == b"\xff\xd8"  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "who", ["classmate", "other_student", "other_teacher", "elsewhere.teacher"]
)
def test_nobody_else_sees_a_students_drawing(cast: School, who: str) -> None:
    (drawing,) = draw(cast, a_piece(cast), 1)
    person = cast.elsewhere.teacher if who == "elsewhere.teacher" else getattr(cast, who)
    address = reverse("drawing_image", args=["thumbnail", drawing.pk, "full"])
    assert signed_in(person).get(address).status_code == 404


def test_order_and_withdrawal_go_by_buttons(cast: School) -> None:
    piece = a_piece(cast)
    first, second, third = draw(cast, piece, 3)
    browser = signed_in(cast.student)
    browser.post(reverse("thumbnail_move", args=[third.pk]), {"to": "earlier"})
    assert list(Thumbnail.objects.standing()) == [first, third, second]
    browser.post(reverse("thumbnail_move", args=[first.pk]), {"to": "earlier"})
    assert list(Thumbnail.objects.standing()) == [first, third, second]
    browser.post(reverse("drawing_withdraw", args=["thumbnail", third.pk]))
    assert list(Thumbnail.objects.standing()) == [first, second]
    browser.post(reverse("drawing_bring_back", args=["thumbnail", third.pk]))
    assert Thumbnail.objects.standing().count() == 3


def test_a_photo_that_was_not_taken_is_cleared_away_for_good(cast: School) -> None:
    piece = a_piece(cast)
    taken, spoilt = draw(cast, piece, 2)
    no_files = {"full_file": "", "small_file": ""}
    StoredImage.objects.filter(pk=spoilt.image_id).update(
        state=StoredImage.State.REFUSED, refusal_code="damaged", **no_files
    )
    browser = signed_in(cast.student)

    def answer(pk: object) -> str:
        address = reverse("drawing_withdraw", args=["thumbnail", pk])
        return browser.post(address, follow=True).content.decode()

    assert "Cleared away." in answer(spoilt.pk)
    assert "It is kept below" in answer(taken.pk)


def test_a_drawing_gets_its_source_form_and_note(cast: School) -> None:
    piece = a_piece(cast)
    (drawing,) = draw(cast, piece, 1)
    form = source_forms(cast)[2]
    browser = signed_in(cast.student)
    address = reverse("thumbnail", args=[drawing.pk])
    browser.post(address, {"source_form": form.pk, "note": "from the beach"})
    drawing.refresh_from_db()
    assert (drawing.source_form, drawing.note) == (form, "from the beach")
    withdraw(drawing=drawing, by=cast.student, at=NOW)
    assert "Bring back" in browser.get(address).content.decode()


def test_an_unknown_kind_of_drawing_is_a_404(cast: School) -> None:
    (drawing,) = draw(cast, a_piece(cast), 1)
    address = f"/drawings/sketchbook/{drawing.pk}/"
    assert signed_in(cast.student).get(address).status_code == 404


def test_a_drawing_keeps_a_source_form_that_is_no_longer_offered(cast: School) -> None:
    """Writing a note must not lose what the idea grew from; new drawings can't name it."""
    piece = a_piece(cast)
    drawing, other, *_rest = draw(cast, piece, 4)
    retired = drawing.source_form
    assert retired is not None
    retire_source_form(source_form=retired, by=cast.teacher)
    browser = signed_in(cast.student)
    page = reverse("thumbnail", args=[drawing.pk])
    assert f'value="{retired.pk}" selected' in browser.get(page).content.decode()
    browser.post(page, {"source_form": retired.pk, "note": "Ribs inside"})
    drawing.refresh_from_db()
    assert (drawing.source_form, drawing.note) == (retired, "Ribs inside")
    answer = browser.post(reverse("thumbnail", args=[other.pk]), {"source_form": retired.pk})
    assert "This is not on the list" in answer.content.decode()
