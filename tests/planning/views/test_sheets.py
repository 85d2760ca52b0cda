"""The page of a sheet: what it says in each state, and boxes that come without a script."""

import json
import re
from contextlib import ExitStack
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.html import strip_tags
from pytest_django import DjangoAssertNumQueries, Settings

from planning.models import Sheet, SourceForm, Thumbnail
from planning.services.sheets import put_away, take_sheet
from planning.splitting.boxes import in_two
from planning.views.sheets import LOOKED_AT
from studio.uploads.models import StoredImage
from tests.cast import NOW, School, signed_in
from tests.planning.sheet_photos import BOXES, proposed, sent
from tests.planning.work import a_piece, choose, photo

pytestmark = pytest.mark.django_db
FETCH = {"X-Requested-With": "fetch"}


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def student(cast: School) -> Client:
    return signed_in(cast.student)


def page(client: Client, sheet: Sheet) -> str:
    return client.get(reverse("sheet", args=[sheet.pk])).content.decode()


def rows(*boxes: Any, edition: object = 1, initial: int = 0, **more: object) -> dict[str, object]:
    """What the form with the numbers posts."""
    posted: dict[str, object] = {
        "edition": edition,
        "box-TOTAL_FORMS": len(boxes),
        "box-INITIAL_FORMS": initial,
    }
    for n, box in enumerate(boxes):
        names = ("x", "y", "width", "height")
        posted |= {f"box-{n}-{name}": value for name, value in zip(names, box, strict=True)}
    return posted | more


def keep(client: Client, sheet: Sheet, posted: dict[str, object], **how: Any) -> Any:
    return client.post(reverse("sheet_boxes", args=[sheet.pk]), posted, **how)


def boxes_of(sheet: Sheet) -> Any:
    return Sheet.objects.get(pk=sheet.pk).boxes


def test_a_photo_that_is_sent_leads_to_its_page(cast: School, student: Client) -> None:
    piece = a_piece(cast)
    assert "Photo of a whole sheet" in student.get(piece.get_absolute_url()).content.decode()
    address = reverse("sheets_add", args=[piece.pk])
    answer = student.post(address, {"sheet": photo(1)})
    sheet = Sheet.objects.get()
    assert answer.headers["Location"] == reverse("sheet", args=[sheet.pk])
    assert "The photo has arrived and is being opened." in page(student, sheet)
    StoredImage.objects.update(
        state=StoredImage.State.READY, full_file="f", small_file="s", width=24, height=24
    )
    assert "The drawings on it are being looked for." in page(student, sheet)
    text = student.get(piece.get_absolute_url()).content.decode()
    assert "A sheet is being taken apart" in text
    again = student.post(address, {"sheet": photo(1)}, follow=True).content.decode()
    assert "This photo is here already." in again
    several = {"sheet": [photo(1), photo(2, "other.jpg")]}
    text = student.post(address, several, follow=True).content.decode()
    assert "idea.jpg: This photo is here already." in text
    assert Sheet.objects.count() == 2
    assert "Choose one or more photos first." in student.post(address, follow=True).content.decode()


def test_a_script_that_sends_a_photo_gets_its_line(cast: School, student: Client) -> None:
    address = reverse("sheets_add", args=[a_piece(cast).pk])
    said = student.post(address, {"sheet": photo(1)}, headers=FETCH).json()
    sheet = Sheet.objects.get()
    assert said["ok"]
    assert f'hx-select="#sheet-{sheet.pk}"' in said["html"]
    no_picture = SimpleUploadedFile("notes.txt", b"words")
    refused = student.post(address, {"sheet": no_picture}, headers=FETCH)
    assert (refused.status_code, refused.json()["ok"]) == (422, False)


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        ("several", "Tap a box to pick it, then drag"),
        ("one", "One drawing was found."),
        ("none", "No drawing was found, so the box is around the whole page."),
        ("unread", "The drawings could not be found by themselves."),
        ("uncut", "The drawings could not be cut out, and none was taken."),
    ],
)
def test_the_page_says_what_was_found(
    cast: School, student: Client, found: str, sentence: str
) -> None:
    sheet = proposed(sent(a_piece(cast)))
    Sheet.objects.update(found=found)
    text = page(student, sheet)
    assert sentence in text
    assert "Take these 4 drawings" in text


def test_a_refused_photo_says_why_and_may_be_put_away(cast: School, student: Client) -> None:
    sheet = sent(a_piece(cast))
    StoredImage.objects.update(state=StoredImage.State.REFUSED, refusal_code="gave_up")
    sheet.image.refresh_from_db()
    assert sheet.image.refusal in page(student, sheet).replace("&#x27;", "'")
    text = student.get(sheet.piece.get_absolute_url()).content.decode()
    assert "A sheet was not taken" in text
    away = student.post(reverse("sheet_put_away", args=[sheet.pk]), follow=True)
    assert "The sheet is put away." in away.content.decode()
    assert not Sheet.objects.exists()


def test_a_piece_lists_its_sheets_that_wait(
    cast: School, student: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    piece = a_piece(cast)
    proposed(sent(piece))
    proposed(sent(piece, 91), BOXES[:1])
    taken = proposed(sent(piece, 92))
    take_sheet(sheet=taken, by=cast.student, edition=1, at=NOW)
    with django_assert_max_num_queries(22):  # with those of the session, as every page has them
        text = student.get(piece.get_absolute_url()).content.decode()
    assert "A sheet waits for you: 4 drawings" in text
    assert "A sheet waits for you: 1 drawing<" in text
    assert text.count("A sheet waits") == 2


def test_a_sheet_that_comes_after_the_choice_is_in_sight_of_its_student_and_their_teacher(
    cast: School, student: Client
) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    ways = (student, "piece"), (signed_in(cast.teacher), "piece_seen")

    def seen() -> list[str]:
        pages = [to.get(reverse(name, args=[piece.pk])).content.decode() for to, name in ways]
        return [" ".join(strip_tags(each).split()) for each in pages]

    told = ("1 sheet of drawings waits for you", "1 sheet of drawings is with the student, who")
    assert not any(words in text for text, words in zip(seen(), told, strict=True))
    sheet = proposed(sent(piece))
    assert all(words in text for text, words in zip(seen(), told, strict=True))
    put_away(sheet=sheet, by=cast.student)
    assert not any(words in text for text, words in zip(seen(), told, strict=True))


def test_boxes_are_typed_removed_and_added_in_numbers(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)), BOXES[:2])
    text = page(student, sheet)
    assert re.search(r'name="box-1-x" value="220"', text)
    assert 'aria-label="Box 2: from the left"' in text
    posted = rows(
        BOXES[0],
        [230, 30, 150, 180],
        ["", "", "", ""],
        BOXES[3],
        initial=2,
        **{"box-0-left_out": "on"},
    )
    answer = keep(student, sheet, posted, follow=True)
    assert boxes_of(sheet) == [[230, 30, 150, 180], BOXES[3]]
    assert "Take these 2 drawings" in answer.content.decode()


def wide_box(sheet: Sheet) -> list[int]:
    """Round the first two drawings; between them there is paper from 155 to 243."""
    (x, y, *_), (to_x, _, wide, _) = BOXES[:2]
    return [x, y, to_x + wide - x + 60, 200]


def test_a_box_is_split_in_numbers_where_its_drawings_part(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)), BOXES)
    both = wide_box(sheet)
    posted = rows(both, BOXES[2], ["", "", "", ""], BOXES[3], initial=2)
    posted["box-0-split"] = "on"
    assert "cut between its drawings" in page(student, sheet)
    answer = keep(student, sheet, posted, follow=True)
    near, far, *others = boxes_of(sheet)
    assert 155 < near[0] + near[2] == far[0] < 243
    assert far[0] + far[2] == both[0] + both[2]
    assert others == BOXES[2:]
    assert "Take these 4 drawings" in answer.content.decode()


def test_a_box_that_is_removed_is_not_split(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)), BOXES[:2])
    gone = {"box-0-split": "on", "box-0-left_out": "on"}
    keep(student, sheet, rows(*BOXES[:2], initial=2, **gone))
    assert boxes_of(sheet) == [BOXES[1]]


def test_a_box_is_split_in_its_middle_where_its_photo_cannot_be_looked_at(
    cast: School, student: Client
) -> None:
    sheet = proposed(sent(a_piece(cast)), BOXES)
    both = wide_box(sheet)
    halves = in_two(both, 16)
    with ExitStack() as busy:
        for who in ("one", "other"):
            busy.enter_context(LOOKED_AT.taken_by(who))
        keep(student, sheet, rows(both) | {"box-0-split": "on"})
    assert boxes_of(sheet) == halves
    default_storage.delete(sheet.image.full_file)
    whole = [both[0], both[1], both[2], both[3] + 20]
    keep(student, sheet, rows(whole, edition=2) | {"box-0-split": "on"})
    assert boxes_of(sheet) == in_two(whole, 16)


def test_what_is_no_number_comes_back_with_a_sentence(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)), BOXES[:1])
    answer = keep(student, sheet, rows(["left", 1, 2, 3], initial=1))
    assert answer.status_code == 422
    assert "Each box is four numbers, in pixels of the photo." in answer.content.decode()
    assert 'value="left"' in answer.content.decode()
    assert keep(student, sheet, {}).status_code == 422
    assert boxes_of(sheet) == BOXES[:1]


def test_a_script_gets_the_boxes_as_they_stand(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)))
    said = keep(student, sheet, rows(BOXES[1], BOXES[0]), headers=FETCH).json()
    assert (said["ok"], said["message"]) == (True, "")
    assert 'data-edition="2"' in said["html"]
    assert said["html"].index('data-box="20 20 160 200"') < said["html"].index('data-box="220')
    assert "Take these 2 drawings" in said["html"]


@pytest.mark.parametrize("edition", [1, "", "many", "9" * 40])
def test_an_older_edition_gets_a_sentence_and_the_boxes_of_now(
    cast: School, student: Client, edition: object
) -> None:
    sheet = proposed(sent(a_piece(cast)))
    keep(student, sheet, rows(*BOXES[:3]))
    late = keep(student, sheet, rows(BOXES[3], edition=edition), headers=FETCH)
    assert late.status_code == 409
    sentence = "The boxes changed meanwhile, perhaps in another window. Look again."
    assert late.json()["message"] == sentence
    assert late.json()["html"].count('class="box"') == 3
    text = keep(student, sheet, rows(BOXES[3], edition=edition), follow=True).content.decode()
    assert sentence in text
    take = reverse("sheet_take", args=[sheet.pk])
    text = student.post(take, {"edition": edition}, follow=True).content.decode()
    assert sentence in text
    assert (boxes_of(sheet), Thumbnail.objects.count()) == (BOXES[:3], 0)


def test_forty_boxes_are_the_most(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)))
    said = keep(student, sheet, rows(*[BOXES[0]] * 41), headers=FETCH)
    assert said.status_code == 422
    assert json.loads(said.content)["message"] == (
        "A sheet holds at most 40 drawings. Photograph it in two parts."
    )


def test_a_sheet_with_as_many_boxes_as_there_may_be_says_what_to_do(
    cast: School, student: Client
) -> None:
    """Of a photo with more drawings than that the rest has no box."""
    grid = [[15 * n, 19 * m, 14, 18] for m in range(10) for n in range(4)]
    sentence = (
        "One photo holds at most 40 drawings, and this one has 40 boxes. If a drawing on it has no "
        "box, put this photo away and photograph the sheet in two halves."
    )
    sheet = proposed(sent(a_piece(cast)), grid)
    assert sentence in page(student, sheet)
    said = keep(student, sheet, rows(*grid[:39]), headers=FETCH).json()
    assert "at most 40" not in said["html"]
    said = keep(student, sheet, rows(*grid, edition=2), headers=FETCH).json()
    assert sentence in said["html"]


def test_a_sheet_without_a_box_has_nothing_to_take(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)), [])
    text = page(student, sheet)
    assert "There is no box on this sheet." in text
    assert reverse("sheet_take", args=[sheet.pk]) not in text


def test_taken_drawings_stand_among_the_thumbnails(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)))
    address = reverse("sheet_take", args=[sheet.pk])
    for _tap in range(2):
        text = student.post(address, {"edition": 1}, follow=True).content.decode()
        assert "4 drawings are among your thumbnails." in text
        assert text.count("sheet.jpg is being looked at.") == 4
        assert "A sheet waits" not in text
    taken = page(student, sheet)
    assert "These drawings are among your thumbnails" in taken
    assert "Put this sheet away" not in taken
    assert "data-open" not in taken


def test_what_all_drawings_grew_from_is_said_once_and_changed_for_one(
    cast: School, student: Client
) -> None:
    piece = a_piece(cast)
    sheet, take = proposed(sent(piece)), "sheet_take"
    pod, bud = (
        SourceForm.objects.get(studio=piece.studio, name=name) for name in ("seed pod", "bud")
    )
    text = page(student, sheet)
    assert "What did they grow from?" in text
    assert re.search(r'<select name="source_form"[^>]* form="take-sheet"', text)
    assert 'id="take-sheet"' in text
    posted = {"edition": 1, "source_form": str(pod.pk)}
    student.post(reverse(take, args=[sheet.pk]), posted)
    made = list(piece.thumbnails.order_by("position"))
    assert [each.source_form for each in made] == [pod] * 4
    one = {"source_form": str(bud.pk), "note": ""}
    student.post(reverse("thumbnail", args=[made[1].pk]), one)
    assert [each.source_form for each in piece.thumbnails.order_by("position")] == [
        pod,
        bud,
        pod,
        pod,
    ]


def test_a_source_form_that_is_not_offered_takes_nothing(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)))
    retired = SourceForm.objects.filter(studio=cast.studio)[0]
    SourceForm.objects.filter(pk=retired.pk).update(retired=True)
    for said in (str(retired.pk), "pod"):
        posted = {"edition": 1, "source_form": said}
        answer = student.post(reverse("sheet_take", args=[sheet.pk]), posted)
        assert answer.status_code == 422
        assert "Take these 4 drawings" in answer.content.decode()
        assert ("from the list." in answer.content.decode()) == (said != "pod")
    assert Thumbnail.objects.count() == 0


def test_another_students_sheet_is_nowhere(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    other = signed_in(cast.classmate)
    for name in ("sheet_boxes", "sheet_take", "sheet_put_away"):
        assert other.post(reverse(name, args=[sheet.pk]), rows()).status_code == 404
    assert other.get(reverse("sheet", args=[sheet.pk])).status_code == 404
    image = reverse("sheet_image", args=[sheet.pk, "small"])
    assert other.get(image).status_code == 404
    assert signed_in(cast.student).get(image.replace("small", "huge")).status_code == 404


def test_what_was_put_away_in_another_window_is_not_found(cast: School, student: Client) -> None:
    sheet = proposed(sent(a_piece(cast)))
    put_away(sheet=sheet, by=cast.student)
    assert student.get(reverse("sheet", args=[sheet.pk])).status_code == 404
