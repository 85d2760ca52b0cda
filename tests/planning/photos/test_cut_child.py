"""What the process that cuts drawings out of a sheet does, run here so that a test sees inside."""

import io
import json
import os
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from planning.photos import cut_child, telling
from planning.photos.cut_child import cut
from planning.photos.cutting import drawings_cut
from studio.uploads.decode import NotTaken
from studio.uploads.reading import Unreadable
from tests.studio.uploads import files

PAPER, INK = (240, 232, 214), (40, 40, 60)
BOXES = [(40, 60, 200, 100), (300, 60, 90, 180)]


def page() -> bytes:
    """Toned paper with a dark block in each box, and a line that crosses the first one's edge."""
    image = Image.new("RGB", (500, 400), PAPER)
    draw = ImageDraw.Draw(image)
    for x, y, wide, high in BOXES:
        draw.rectangle((x + 20, y + 20, x + wide - 20, y + high - 20), fill=INK)
    draw.line((0, 70, 60, 70), fill=INK, width=3)
    return files.saved(image, quality=95)


def test_each_box_is_cut_out_and_mounted_on_its_paper() -> None:
    into = [(io.BytesIO(), io.BytesIO()) for _box in BOXES]
    told = cut(io.BytesIO(page()), BOXES, into)
    # A tenth of the longer side is laid around: 20 px around 200 × 100, 18 px around 90 × 180.
    assert told == {"sizes": [(240, 140), (126, 216)]}
    for (full, small), size, room in zip(into, told["sizes"], (20, 18), strict=True):
        picture = Image.open(full)
        assert picture.size == size
        pixels = np.asarray(picture, float)
        edges = np.concatenate((pixels[0], pixels[-1], pixels[:, 0], pixels[:, -1]))
        assert np.abs(edges - PAPER).max() < 12  # also where a line ran into the box
        assert np.abs(pixels[size[1] // 2, size[0] // 2] - INK).max() < 12
        dark = np.argwhere(pixels.mean(axis=2)[room:-room, room:-room] < 130)
        assert dark[:, 1].max() + room == pytest.approx(size[0] - room - 20, abs=2)
        assert Image.open(small).size == size


def test_a_file_that_is_no_picture_is_not_cut() -> None:
    with pytest.raises(NotTaken, match="kind"):
        cut(io.BytesIO(b"GIF89a"), BOXES, [])


def test_sizes_come_as_one_line_of_json(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(telling, "hold_limits", lambda: None)
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(BOXES[:1])))
    source, full, small = (tmp_path / name for name in ("source", "full", "small"))
    source.write_bytes(page())
    opened = [os.open(source, os.O_RDONLY)]
    opened += [os.open(each, os.O_RDWR | os.O_CREAT) for each in (full, small)]
    cut_child.main([str(number) for number in opened])  # closed there
    assert json.loads(capsys.readouterr().out) == {"sizes": [[240, 140]]}
    for each in (full, small):
        with Image.open(each) as picture:
            assert picture.size == (240, 140)


def test_a_process_of_its_own_says_why_it_cuts_nothing() -> None:
    with pytest.raises(Unreadable) as unread, drawings_cut([b"GIF89a"], BOXES):
        pass
    assert unread.value.code == "kind"
