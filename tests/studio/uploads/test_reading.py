"""A hostile file can harm the process that reads it, and only that one."""

import io
import resource
import sys
from pathlib import Path

import pytest
from PIL import Image

from studio.uploads import reading
from studio.uploads.reading import Unreadable, picture_read
from tests.studio.uploads import files


def reason(data: bytes) -> tuple[str, dict[str, int]]:
    with pytest.raises(Unreadable) as caught, picture_read([data]):
        pass
    return caught.value.code, caught.value.values


def program(path: Path, script: str) -> str:
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(0o700)
    return str(path)


def test_a_picture_comes_back_from_its_own_process() -> None:
    data = files.saved(files.quarters(), exif=files.exif(place=True, focal_35mm=26))
    with picture_read([data[:100], data[100:]]) as picture:
        assert (picture.kind, picture.width, picture.height) == ("jpeg", 320, 240)
        assert picture.focal_35mm == 26.0
        for file in (picture.full, picture.small):
            jpeg = file.read()
            assert Image.open(io.BytesIO(jpeg)).size == (320, 240)
            assert not any(secret in jpeg for secret in files.SECRETS)


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", ("kind", {})),
        (files.photo()[:5000], ("broken", {})),
        (files.png_bomb(30_000, 30_000), ("too_many_pixels", {})),
        (files.pdf(3), ("pdf_pages", {"pages": 3})),
        (files.pdf(0), ("broken", {})),
    ],
    ids=["empty", "cut off", "bomb", "three pages", "no page"],
)
def test_a_refusal_comes_back_with_its_values(
    data: bytes, expected: tuple[str, dict[str, int]]
) -> None:
    assert reason(data) == expected


def test_a_pdf_that_unpacks_to_gigabytes_stays_within_the_bound() -> None:
    with picture_read([files.pdf_bomb()]) as picture:
        assert picture.kind == "pdf"
    # In kilobytes on Linux; of all children so far, so none of them went past it.
    assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss < 2_000_000


def test_a_process_that_takes_too_long_is_ended_and_the_picture_refused(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "executable", program(tmp_path / "slow", "exec sleep 60"))
    monkeypatch.setattr(reading, "TIMEOUT_SECONDS", 0.05)
    assert reason(b"") == ("too_heavy", {})


def test_a_process_that_dies_refuses_the_picture(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(sys, "executable", program(tmp_path / "dying", "kill -9 $$"))
    assert reason(b"") == ("too_heavy", {})
    assert caplog.messages == ["studio.uploads.decode ended by signal 9"]


def test_a_fault_of_ours_is_not_blamed_on_the_picture(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    fault = program(tmp_path / "fault", "echo no such module >&2; exit 1")
    monkeypatch.setattr(sys, "executable", fault)
    with pytest.raises(RuntimeError, match="no such module"), picture_read([b""]):
        pass


def test_the_process_is_given_no_secrets(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    seen = tmp_path / "seen"
    monkeypatch.setenv("SECRET_KEY", "in nobody's hands")
    monkeypatch.setattr(sys, "executable", program(tmp_path / "spy", f"env > {seen}; exit 1"))
    with pytest.raises(RuntimeError), picture_read([b""]):
        pass
    assert "SECRET_KEY" not in seen.read_text()
