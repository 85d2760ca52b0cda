"""A held database is a sentence and a 503."""

import json

import pytest
from django.db import OperationalError
from django.test import Client, RequestFactory

from studio.web.busy import is_busy
from studio.web.middleware import RefusalMiddleware
from studio.web.problems import problem_response
from tests.cast import School, signed_in

LOCKED = OperationalError("database is locked")


def test_only_a_held_database_counts_as_busy() -> None:
    assert is_busy(LOCKED)
    assert not is_busy(OperationalError("disk I/O error"))
    assert not is_busy(ValueError("database is locked"))


def test_a_fetch_reads_the_sentence() -> None:
    request = RequestFactory().post("/", headers={"X-Requested-With": "fetch"})
    answer = RefusalMiddleware(lambda _request: None).process_exception(request, LOCKED)  # type: ignore[arg-type, return-value]
    assert answer is not None
    assert answer.status_code == 503
    assert json.loads(answer.content)["message"].startswith("Something large is being written")


def test_a_page_says_that_nothing_was_changed(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    def held(**_: object) -> None:
        raise LOCKED

    monkeypatch.setattr("studio.people.views.studio.make_token", held)
    browser: Client = signed_in(cast.teacher)
    answer = browser.post("/tokens/", {"name": "labels", "scope": "read", "ends_at": "2099-01-01"})
    assert answer.status_code == 503
    assert "try again soon" in answer.content.decode()


def test_the_api_answers_a_problem_with_retry_after() -> None:
    answer = problem_response(LOCKED, {})
    assert answer is not None
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")
