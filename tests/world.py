"""One of everything that an address can name, and who may come to look.

`world()` adds to the cast what belongs to its `student`, in the class of its `teacher`.
"""

from dataclasses import dataclass
from datetime import timedelta
from typing import ClassVar

from django.test import Client

from studio.people.models import ApiToken, User
from studio.people.roster.files import packed
from studio.people.roster.kept import keep_upload
from studio.people.services import add_closure
from studio.people.tokens import make_token
from tests.cast import NOW, TODAY, School, signed_in

ROSTER = b"given_name,family_name,class\nWilla,Roos,Period 3\n"


@dataclass(frozen=True)
class World:
    # Words of addresses that are text, not somebody's thing.
    TEXTS: ClassVar = frozenset({"slug", "digest"})

    cast: School
    things: dict[str, str]
    """What stands in addresses, by the words of `tests.routes`."""

    def client(self, who: str) -> Client:
        """A browser for one of `tests.routes.PEOPLE`, or for `elsewhere.head` and the like."""
        if who == "signed_out":
            return _lenient(Client())
        return _lenient(signed_in(self.person(who)))

    def person(self, who: str) -> User:
        at: object = self.cast
        for part in who.split("."):
            at = getattr(at, part)
        assert isinstance(at, User)
        return at


def world(cast: School) -> World:
    closure = add_closure(
        studio=cast.studio,
        by=cast.head,
        name="Spring break",
        starts_on=TODAY + timedelta(days=30),
        ends_on=TODAY + timedelta(days=37),
        today=TODAY,
    )
    token, _secret = make_token(
        person=cast.teacher,
        name="Shelf labels",
        scope=ApiToken.Scope.READ,
        ends_at=NOW + timedelta(days=90),
        at=NOW,
    )
    bundle = packed([("roster.csv", ROSTER)])
    meeting = cast.section.meetings.filter(on__gt=TODAY).first()
    assert meeting is not None
    things = {
        "slug": cast.studio.slug,
        "class": cast.section.pk,
        "meeting": meeting.pk,
        "closure": closure.pk,
        "token": token.pk,
        "student": cast.student.pk,
        "teacher": cast.teacher.pk,
        "other_teacher": cast.other_teacher.pk,
        "other_student": cast.other_student.pk,
        "digest": keep_upload(person=cast.head, bundle=bundle, at=NOW),
    }
    return World(cast=cast, things={name: str(value) for name, value in things.items()})


def _lenient(client: Client) -> Client:
    """What goes wrong in a view is an answer with 500, as outside the tests."""
    client.raise_request_exception = False
    return client
