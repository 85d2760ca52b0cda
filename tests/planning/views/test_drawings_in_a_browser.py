"""Photos as they arrive on a phone: nobody has to load the page again to see them."""

import pytest
from django.urls import reverse
from playwright.sync_api import FilePayload, expect
from pytest_django import Settings

from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from tests.browser import Windows
from tests.cast import School
from tests.chromium import PHONE
from tests.planning.work import a_piece, photo

pytestmark = pytest.mark.browser


def test_a_sent_photo_shows_itself_once_it_is_read_and_is_counted(
    cast: School, windows: Windows, settings: Settings
) -> None:
    # Nothing is read before the test says so, as when the worker is busy.
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.dummy.DummyBackend"}}
    piece = a_piece(cast)
    page = windows.signed_in(cast.student, PHONE).open(reverse("piece", args=[piece.pk]))
    sent = FilePayload(name="idea.jpg", mimeType="image/jpeg", buffer=photo().read())
    page.get_by_label("Photos of your drawings").set_input_files(sent)
    page.get_by_role("button", name="Send photos").click()
    expect(page.get_by_text("idea.jpg is being looked at.")).to_be_visible()
    expect(page.get_by_text("Nothing here yet.")).to_be_visible()

    run_job.call(str(Job.objects.get().pk))

    expect(page.get_by_role("img", name="Thumbnail 1")).to_be_visible()
    expect(page.get_by_text("1 of 6 thumbnails")).to_be_visible()
    expect(page.get_by_text("Nothing here yet.")).to_have_count(0)
    expect(page.locator(".sending li")).to_have_count(0)
