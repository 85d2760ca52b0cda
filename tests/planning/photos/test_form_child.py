"""What the process that reads one drawing does, run here so that a test sees inside."""

import io
import subprocess
import sys
from base64 import b64decode

import cv2
import numpy as np
import pytest

from planning.exploration.kept import unpacked
from planning.exploration.silhouette import form_in
from planning.photos import asking, form_child, forms
from planning.photos.form_child import form_of
from tests.planning.drawings import BLANK, picture
from tests.planning.photos.conftest import Told


def png(photo: np.ndarray) -> bytes:
    return cv2.imencode(".png", photo)[1].tobytes()


def test_what_is_kept_is_the_form_to_the_pixel() -> None:
    told = form_of(io.BytesIO(png(picture(0))))
    drawn = form_in(picture(0))
    for name in ("form", "strokes"):
        assert np.array_equal(unpacked(b64decode(told[name])), getattr(drawn, name))
        assert len(b64decode(told[name])) < getattr(drawn, name).size / 20


def test_it_says_why_there_is_no_form() -> None:
    blank = {"at": "drawing", "code": "nothing_drawn", "values": {}}
    assert form_of(io.BytesIO(png(BLANK))) == blank
    assert form_of(io.BytesIO(b"GIF89a")) == {"at": "file", "code": "kind", "values": {}}


def test_a_picture_without_memory_for_it_is_too_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    without, fault = cv2.error("Insufficient memory"), cv2.error("an assertion")
    without.code, fault.code = cv2.Error.StsNoMem, cv2.Error.StsAssert
    for error in (MemoryError(), without, fault):

        def fail(_picture: object, error: BaseException = error) -> None:
            raise error

        monkeypatch.setattr(form_child, "read", fail)
        if error is fault:
            with pytest.raises(cv2.error, match="an assertion"):
                form_of(io.BytesIO(png(BLANK)))
        else:
            assert form_of(io.BytesIO(png(BLANK)))["code"] == "too_heavy"


def test_one_line_of_json_is_answered(told_by: Told) -> None:
    assert told_by(form_child, png(picture(1))).keys() == {"form", "strokes"}


def test_it_begins_without_what_only_comparing_needs() -> None:
    """One begins for each photo of a class; the libraries would take three times as long."""
    code = "import sys, planning.photos.form_child; assert 'scipy' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_process_that_takes_too_long_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    heavy = {"refused": "too_heavy", "values": {}}
    monkeypatch.setattr(asking, "answer_of_child", lambda *_, **__: heavy)
    told = forms.form_of_photo([b""])
    assert told == {"at": "file", "code": "too_heavy", "values": {}}
