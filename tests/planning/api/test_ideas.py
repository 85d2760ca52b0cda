"""Ideas over the API: the switch of a class, what was found, and a teacher's word on it."""

from uuid import uuid4

import pytest
from django.urls import reverse

from planning.models import IdeaChange
from tests.cast import School, signed_in
from tests.planning.api.test_briefs import send
from tests.planning.drawings import as_compared
from tests.planning.work import a_piece, draw

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_the_switch_of_a_class_is_read_and_set(cast: School) -> None:
    assignment, client = a_piece(cast).assignment, signed_in(cast.teacher)
    assert send(client, "GET", "api_assignment", assignment.pk).json()["ideas_counted"] is True
    off = send(client, "PUT", "api_assignment_ideas", assignment.pk, data={"ideas_counted": False})
    assert (off.status_code, off.json()) == (200, {"ideas_counted": False})
    assert send(client, "GET", "api_assignment", assignment.pk).json()["ideas_counted"] is False
    wrong = send(client, "PUT", "api_assignment_ideas", assignment.pk, data={})
    assert wrong.status_code == 400
    other = signed_in(cast.other_teacher)
    data = {"ideas_counted": True}
    assert send(other, "PUT", "api_assignment_ideas", assignment.pk, data=data).status_code == 404


def test_ideas_are_joined_read_and_put_back(cast: School) -> None:
    piece, client = a_piece(cast), signed_in(cast.teacher)
    nothing = send(client, "GET", "api_piece_ideas", piece.pk).json()
    assert (nothing["compared"], nothing["distinct"], nothing["groups"]) == (False, None, [])
    ids = [str(each.pk) for each in draw(cast, piece)]
    as_compared(piece, 6)
    data = {"kind": "join", "thumbnails": ids[:2], "reason": "One jug"}
    made = send(client, "POST", "api_idea_changes", piece.pk, data=data)
    assert made.status_code == 201, made.content
    assert {name: made.json()[name] for name in data} == data | {"thumbnails": sorted(ids[:2])}
    told = send(client, "GET", "api_piece_ideas", piece.pk).json()
    assert (told["compared"], told["by_hand"]) == (True, True)
    assert told["groups"] == [ids[:2], *([pk] for pk in ids[2:])]
    undone = send(client, "POST", "api_idea_change_undo", made.json()["id"])
    assert undone.json()["undone_at"] is not None
    assert send(client, "GET", "api_piece_ideas", piece.pk).json()["by_hand"] is False
    listed = send(client, "GET", "api_idea_changes", piece.pk).json()["results"]
    assert [each["id"] for each in listed] == [made.json()["id"]]


@pytest.mark.parametrize(
    ("changed", "status"),
    [
        ({"kind": "mix"}, 400),
        ({"thumbnails": ["x"]}, 400),
        ({"reason": ""}, 400),
        ({"thumbnails": []}, 422),
        ({"thumbnails": [uuid4(), uuid4()]}, 422),
    ],
)
def test_what_cannot_be_is_said_at_its_field(
    cast: School, changed: dict[str, object], status: int
) -> None:
    piece = a_piece(cast)
    ids = [each.pk for each in draw(cast, piece)]
    as_compared(piece, 6)
    data = {"kind": "join", "thumbnails": ids[:2], "reason": "One jug"} | changed
    answer = send(signed_in(cast.teacher), "POST", "api_idea_changes", piece.pk, data=data)
    assert answer.status_code == status
    assert next(iter(changed)) in answer.content.decode()
    assert not IdeaChange.objects.exists()


def test_each_drawing_stands_once_on_the_teachers_page(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece)
    as_compared(piece, 6)
    page = signed_in(cast.teacher).get(reverse("piece_seen", args=[piece.pk])).content.decode()
    for each in drawn:
        assert page.count(reverse("drawing_image", args=["thumbnail", each.pk, "small"])) == 1
    # Who keeps the kilns sees no rows of ideas, and the drawings once too.
    page = signed_in(cast.technician).get(reverse("piece_seen", args=[piece.pk])).content.decode()
    assert page.count(reverse("drawing_image", args=["thumbnail", drawn[0].pk, "small"])) == 1
