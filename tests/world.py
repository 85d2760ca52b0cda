"""One of everything that an address can name, and who may come to look.

`world()` adds to the cast what belongs to its `student`, in the class of its `teacher`. The
fixture `walked` makes it once a module: whoever writes, writes within `undone()`.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from typing import Any, ClassVar
from uuid import UUID

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.http import StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.test import Client, override_settings
from PIL import Image
from pytest_django import DjangoDbBlocker, Settings

from planning.geometry.inputs import Outline
from planning.models import Piece, PlanVersion, SourceForm
from planning.services.adjustments import set_adjustment
from planning.services.choosing import choose_design
from planning.services.drawings import withdraw
from planning.services.plans import save_draft, send_plan
from studio.people.models import ApiToken, User
from studio.people.roster.files import packed
from studio.people.roster.kept import keep_upload
from studio.people.services import add_closure
from studio.people.tokens import make_token
from studio.uploads.models import StoredImage
from tests.cast import NOW, TODAY, School, school, signed_in
from tests.planning.projects import a_brief, given
from tests.planning.work import draw, drawn_plan, piece_of, refine
from tests.worlds import (
    bench,
    clay,
    ideas,
    kilns,
    marks,
    plan_photos,
    prints,
    room,
    scans,
    sheets,
    ware,
)

ROSTER = b"id,given name,family name,class\n9041,Willa,Roos,Period 3\n"


@dataclass(frozen=True)
class World:
    # Words of addresses that are text, not somebody's thing.
    TEXTS: ClassVar = frozenset({"slug", "digest", "calendar_secret"})

    cast: School
    things: dict[str, str]
    """What stands in addresses, by the words of `tests.routes`."""

    sessions: dict[UUID, str] = field(default_factory=dict)
    """Of the people who are signed in already; the others sign in each time."""

    def client(self, who: str) -> Client:
        """A browser for one of `tests.routes.PEOPLE`, or for `elsewhere.head` and the like."""
        # What goes wrong in a view is an answer with 500, as outside the tests.
        client = Client(raise_request_exception=False)
        if who == "signed_out":
            return client
        person = self.person(who)
        if person.pk in self.sessions:
            client.cookies["sessionid"] = self.sessions[person.pk]
        else:
            client.force_login(person)
        return client

    def person(self, who: str) -> User:
        at: object = self.cast
        for part in who.split("."):
            at = getattr(at, part)
        assert isinstance(at, User)
        return at


@contextmanager
def undone() -> Iterator[None]:
    """What is written inside is gone afterwards, so that one world serves many requests."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def asked(client: Client, method: str, address: str, **more: Any) -> HttpResponseBase:
    """The answer, read to its end so that no file stays open."""
    response: HttpResponseBase = client.generic(method, address, **more)
    if isinstance(response, StreamingHttpResponse):
        for _chunk in response:
            pass
    return response


@pytest.fixture(scope="module")
def _world(
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[tuple[World, dict[str, Any]]]:
    kept = for_files(tmp_path_factory.mktemp("media"))
    hashers = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    with django_db_blocker.unblock(), undone():
        with override_settings(STORAGES=kept, PASSWORD_HASHERS=hashers):
            made = world(school())
            made.sessions.update(_sessions(made.cast))
        yield made, kept


@pytest.fixture
def walked(_world: tuple[World, dict[str, Any]], db: None, settings: Settings) -> World:
    """The world, and its files where the service looks for them."""
    made, settings.STORAGES = _world
    return made


def for_files(folder: Path) -> dict[str, Any]:
    """Storages of tests, which keep what is uploaded in this folder."""
    return {
        "default": {
            "BACKEND": "django.core.files.storage.FileSystemStorage",
            "OPTIONS": {"location": folder, "base_url": None},
        },
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }


def world(cast: School) -> World:
    made = _as_text(_of_the_class(cast) | _of_the_student(cast))
    for subject in (ideas, plan_photos, sheets, scans, room):
        made |= _as_text(subject.things(cast, made))
    # Drawings are being read on some pages; from here on nobody waits for a process that reads one.
    with override_settings(
        TASKS={"default": {"BACKEND": "django_tasks.backends.dummy.DummyBackend"}}
    ):
        for later in (ware, bench, clay, kilns, marks, prints):
            made |= _as_text(later.things(cast, made))
    return World(cast=cast, things=made)


def _sessions(cast: School) -> dict[UUID, str]:
    people = [each for of in (cast, cast.elsewhere) for each in vars(of).values()]
    people = [each for each in people if isinstance(each, User)]
    return {each.pk: signed_in(each).cookies["sessionid"].value for each in people}


def _as_text(things: dict[str, Any]) -> dict[str, str]:
    return {name: str(getattr(value, "pk", value)) for name, value in things.items()}


def _of_the_class(cast: School) -> dict[str, Any]:
    """What its staff keep."""
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
    return {
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


def _of_the_student(cast: School) -> dict[str, Any]:
    """Four pieces, each from another brief: nothing drawn, chosen, drafting, sent."""
    titles = ("First shapes", "Something that grew", "A vessel with a shoulder", "A pair")
    new, chosen, drafting, sent = (_given(cast, title) for title in titles)
    _choose(cast, chosen)
    thumbnail, withdrawn, refinement = _choose(cast, drafting)
    save_draft(piece=drafting, drawn=drawn_plan(), at=NOW)
    set_adjustment(
        assignment=drafting.assignment,
        student=cast.student,
        by=cast.teacher,
        counts={"least_thumbnails": 4},
        dates={},
        private_reason="In hospital for two weeks.",
        at=NOW,
    )
    return {
        "new_piece": new.pk,
        "chosen_piece": chosen.pk,
        "piece": drafting.pk,
        "thumbnail": thumbnail,
        "withdrawn": withdrawn,
        "refinement": refinement,
        "sent_piece": sent.pk,
        "plan": _sent(cast, sent).pk,
        "body": drafting.assignment.clay_body_id,
        "brief": drafting.assignment.brief_id,
        "assignment": drafting.assignment_id,
        "source_form": SourceForm.objects.filter(studio=cast.studio).first(),
    }


def _given(cast: School, title: str) -> Piece:
    (assignment,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, title))
    return piece_of(assignment, cast.student)


def _choose(cast: School, piece: Piece) -> tuple[Any, Any, Any]:
    """Explore, withdraw a drawing, choose, refine; the ids of a drawing of each kind."""
    first, second, *_others, last = draw(cast, piece, 7)
    withdraw(drawing=second, by=cast.student, at=NOW)
    reason = "It holds more than it shows."
    choose_design(piece=piece, thumbnail=last, reason=reason, by=cast.student, at=NOW)
    refined = refine(piece)
    _write_files(piece)
    return first.pk, second.pk, refined[0].pk


def _sent(cast: School, piece: Piece) -> PlanVersion:
    _choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(outline=Outline("oval", 0.7)), at=NOW)
    return send_plan(piece=piece, by=cast.student, at=NOW)


def _write_files(piece: Piece) -> None:
    """Pictures to look at, for the drawings that count as read."""
    out = BytesIO()
    Image.new("RGB", (640, 480), "#d9d0c3").save(out, "JPEG")
    for image in StoredImage.objects.filter(studio=piece.studio_id, full_file="f"):
        for size in ("full", "small"):
            name = default_storage.save(
                f"images/{image.stem}-{size}.jpg", ContentFile(out.getvalue())
            )
            setattr(image, f"{size}_file", name)
        image.width, image.height = 640, 480
        image.save()
