"""The header offers each role its own pages."""

from django.contrib.auth.models import AnonymousUser
from django.test import RequestFactory
from django.urls import reverse

from studio.board.nav import navigation
from studio.people.models import User
from studio.units.scales import Metric
from tests.cast import School


def offered(person: User | AnonymousUser, at: str = "/") -> dict[str, bool]:
    """Label of each entry, and whether it is marked as the page that one is on."""
    request = RequestFactory().get(at)
    request.user = person
    return {str(entry.label): entry.current for entry in navigation(request)["nav"]}


def test_a_head_reaches_everything(cast: School) -> None:
    rooms = ["Clay room", "Kiln room", "Marking", "Prints"]
    pages = ["Today", "Classes", "Briefs", "Plans", *rooms, "People", "Settings"]
    assert list(offered(cast.head)) == pages


def test_a_teacher_is_not_offered_the_pages_of_heads(cast: School) -> None:
    rooms = ["Clay room", "Kiln room", "Marking", "Prints"]
    assert list(offered(cast.teacher)) == ["Today", "Classes", "Briefs", "Plans", *rooms]


def test_a_technician_is_not_offered_plans_briefs_and_marks(cast: School) -> None:
    rooms = ["Clay room", "Kiln room", "Prints"]
    assert list(offered(cast.technician)) == ["Today", "Classes", *rooms]


def test_a_student_is_offered_their_pots(cast: School) -> None:
    assert list(offered(cast.student)) == ["Your pots"]


def test_nobody_else_is_offered_anything(cast: School) -> None:
    assert offered(cast.nobody) == {}
    assert offered(AnonymousUser()) == {}


def test_the_page_one_is_on_is_marked_from_any_depth(cast: School) -> None:
    here = offered(cast.head, "/classes/3/dates/")
    assert [label for label, current in here.items() if current] == ["Classes"]
    at_home = offered(cast.head, reverse("today"))
    assert [label for label, current in at_home.items() if current] == ["Today"]


def test_the_studio_is_the_units_and_without_one_they_are_metric(cast: School) -> None:
    request = RequestFactory().get("/")
    request.user = cast.student
    assert navigation(request)["units"] == navigation(request)["studio"] == cast.studio
    request.user = cast.nobody
    assert navigation(request)["units"] == Metric()


def test_a_request_that_never_met_a_person_is_served() -> None:
    assert navigation(RequestFactory().get("/"))["nav"] == []


def test_a_list_that_a_room_leads_to_marks_that_room(cast: School) -> None:
    rooms = {
        "bodies": "Clay room",
        "glazes": "Kiln room",
        "rubrics": "Marking",
        "roster": "People",
        "tokens": "Settings",
    }
    for page, room in rooms.items():
        here = offered(cast.head, reverse(page))
        assert [label for label, current in here.items() if current] == [room]
