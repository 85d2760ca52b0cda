"""What the process that compares drawings does with their files, run here so that a test sees
inside."""

import io
import json
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import cv2
import pytest

from planning.exploration.reading import OPENED_PX
from planning.photos import ideas_child
from planning.photos.ideas_child import ideas
from studio.uploads.decode import NotTaken
from tests.studio.uploads import files


def opened(*contents: bytes) -> list[io.BytesIO]:
    return [io.BytesIO(each) for each in contents]


def test_a_file_that_is_refused_costs_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    drawing = files.HEIC.read_bytes()
    told = ideas(opened(b"GIF89a", drawing, b"", files.photo()[:3000]), ["", "", "empty", ""])
    assert told["readable"] == [1]
    assert [(each["index"], each["code"]) for each in told["unreadable"]] == [
        (0, "kind"),
        (2, "empty"),
        (3, "broken"),
    ]


def test_a_huge_picture_is_opened_no_larger_than_it_is_read(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[tuple[int, ...]] = []

    def listen(pictures: Iterable[Any]) -> dict[str, Any]:
        seen.extend(each.shape for each in pictures)
        return {}

    monkeypatch.setattr(ideas_child, "answer", listen)
    for format_ in ("PNG", "JPEG"):
        ideas(opened(files.saved(files.quarters(4000, 3000), format_)), [""])
    assert seen == [(OPENED_PX * 3 // 4, OPENED_PX)] * 2


def test_pictures_without_memory_for_them_are_too_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    without = cv2.error("Insufficient memory")
    without.code = cv2.Error.StsNoMem
    for error in (MemoryError(), without):

        def fail(_pictures: object, error: BaseException = error) -> None:
            raise error

        monkeypatch.setattr(ideas_child, "answer", fail)
        with pytest.raises(NotTaken, match="too_heavy"):
            ideas(opened(files.photo()), [""])


def test_a_fault_of_ours_is_not_called_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_pictures: object) -> None:
        error = cv2.error("an assertion")
        error.code = cv2.Error.StsAssert
        raise error

    monkeypatch.setattr(ideas_child, "answer", fail)
    with pytest.raises(cv2.error, match="an assertion"):
        ideas(opened(files.photo()), [""])


@pytest.mark.parametrize("heavy", [False, True])
def test_one_line_of_json_is_answered(
    heavy: bool,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    def fail(_pictures: object) -> None:
        raise MemoryError

    if heavy:
        monkeypatch.setattr(ideas_child, "answer", fail)
    monkeypatch.setattr(ideas_child, "hold_limits", lambda: None)
    monkeypatch.setattr(sys, "stdin", io.StringIO('["", "empty"]'))
    numbers = []
    for name in ("first", "second"):
        source = tmp_path / name
        source.write_bytes(b"GIF89a")
        numbers.append(str(os.open(source, os.O_RDONLY)))  # closed there
    ideas_child.main(numbers)
    answer = json.loads(capsys.readouterr().out)
    if heavy:
        assert answer == {"refused": "too_heavy", "values": {}}
    else:
        assert [each["code"] for each in answer["unreadable"]] == ["kind", "empty"]
