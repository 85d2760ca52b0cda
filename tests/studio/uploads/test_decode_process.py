"""The process that reads pictures: bounded, quick to start, answering one line of JSON."""

import json
import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from studio.uploads import decode
from tests.studio.uploads import files


def test_the_process_bounds_itself_and_answers_in_json(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    bounds: dict[int, tuple[int, int]] = {}
    monkeypatch.setattr(resource, "setrlimit", bounds.__setitem__)
    source, full, small = (tmp_path / name for name in ("source", "full", "small"))
    source.write_bytes(files.photo())
    _run_main(source, full, small)
    assert bounds == {
        resource.RLIMIT_AS: (2_000_000_000,) * 2,
        resource.RLIMIT_CPU: (60, 60),
        resource.RLIMIT_FSIZE: (40_000_000,) * 2,
        resource.RLIMIT_CORE: (0, 0),
    }
    answer = json.loads(capfd.readouterr().out)
    assert answer == {"kind": "jpeg", "width": 400, "height": 300, "focal_35mm": None}
    for path in (full, small):
        with Image.open(path) as image:
            assert image.size == (400, 300)


def test_the_process_answers_a_refusal_in_json(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(resource, "setrlimit", lambda *_: None)
    source, full, small = (tmp_path / name for name in ("source", "full", "small"))
    source.write_bytes(files.pdf(3))
    _run_main(source, full, small)
    assert json.loads(capfd.readouterr().out) == {"refused": "pdf_pages", "values": {"pages": 3}}


def _run_main(source: Path, full: Path, small: Path) -> None:
    handles = [
        os.open(source, os.O_RDONLY),
        os.open(full, os.O_WRONLY | os.O_CREAT),
        os.open(small, os.O_WRONLY | os.O_CREAT),
    ]
    decode.main([str(handle) for handle in handles])


def test_a_process_short_of_memory_refuses_the_picture_and_stays_alive(tmp_path: Path) -> None:
    """60 megapixels with alpha want 0.8 GB; given 0.4 GB the answer is a sentence."""
    source = tmp_path / "large.png"
    Image.new("RGBA", (10_000, 6_000)).save(source, compress_level=1)
    script = (
        "import os, sys\n"
        "from studio.uploads import decode\n"
        "decode.MEMORY_BYTES = 400_000_000\n"
        "out = [str(os.open(p, os.O_RDWR | os.O_CREAT)) for p in sys.argv[1:]]\n"
        "decode.main(out)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, source, tmp_path / "full", tmp_path / "small"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert json.loads(done.stdout) == {"refused": "too_heavy", "values": {}}


def test_reading_needs_no_django() -> None:
    """It starts for every picture, so it must start fast and know no secret."""
    script = "import sys, studio.uploads.decode; print([m for m in sys.modules if 'django' in m])"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
