"""What the process that draws the pages of a scan does with a stranger's file: run here, so that a
test sees inside, and as a process where what it is about is its end."""

import io
import json
import os
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from django.core.files.base import ContentFile
from PIL import Image

from planning.photos import scan_child, scans, telling
from planning.photos.scan_child import pages_read
from planning.photos.scan_words import scan_sentence
from planning.photos.scans import PagesRead, pages_of, scan_opened, turned
from studio.uploads.decode import NotTaken
from studio.uploads.kinds import MAX_PIXELS
from studio.uploads.reading import Unreadable
from tests.planning.exploration.ideas import Array
from tests.planning.scanned import blank_page, paper_of, pdf_of, without_code
from tests.studio.uploads import files


@pytest.fixture(autouse=True)
def unbound(monkeypatch: pytest.MonkeyPatch) -> None:
    """The process of the tests keeps its memory."""
    monkeypatch.setattr("resource.setrlimit", lambda *_: None)


def read(content: bytes, *numbers: int) -> tuple[dict[str, Any], list[Image.Image]]:
    """What is told of these pages, and those that were drawn."""
    into = [(io.BytesIO(), io.BytesIO()) for _ in numbers]
    told = pages_read(io.BytesIO(content), numbers, into)
    drawn: list[Image.Image] = [Image.open(full) for full, _small in into if full.getvalue()]
    return told, drawn


def sized(*sizes_mm: tuple[float, float]) -> bytes:
    """Empty pages of these sizes."""
    document = pypdfium2.PdfDocument.new()
    for wide, high in sizes_mm:
        document.new_page(wide / 25.4 * 72, high / 25.4 * 72)
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def as_pixels(image: Image.Image) -> Array:
    return np.asarray(image.convert("L"), np.float64)


def test_pages_that_lie_on_any_side_are_set_upright() -> None:
    """ISO/IEC 18004: a code tells its upper left corner, by the three squares that it has."""
    page = blank_page(paper_of())
    told, drawn = read(pdf_of([np.rot90(page, -turns) for turns in range(4)]), 1, 2, 3, 4)
    assert told["pages"] == 4
    # At 200 dpi A4 (ISO 216) is 8.268 × 11.693 in, 1654 × 2339 pixels.
    for each, image in zip(told["read"], drawn, strict=True):
        assert each["codes"] == [paper_of().address + "#sketch"]
        assert (each["width"], each["height"]) == image.size == pytest.approx((1654, 2339), abs=2)
        assert (
            np.abs(as_pixels(image) - as_pixels(drawn[0])[: image.height, : image.width]).mean() < 3
        )


def test_only_the_pages_that_are_asked_for_are_drawn() -> None:
    content = pdf_of([without_code(), blank_page(paper_of()), without_code(200)])
    told, drawn = read(content, 2, 3, 4)
    assert (told["pages"], len(drawn)) == (3, 2)
    assert [len(each["codes"]) for each in told["read"]] == [1, 0]
    assert read(content) == ({"pages": 3, "read": []}, [])


def test_a_picture_is_a_scan_of_one_page() -> None:
    upside_down = Image.fromarray(np.rot90(blank_page(paper_of()), 2))
    told, drawn = read(files.saved(upside_down), 1, 2)
    assert (told["pages"], told["read"][0]["codes"]) == (1, [paper_of().address + "#sketch"])
    assert as_pixels(drawn[0])[190:].min() > 200  # its head is above


@pytest.mark.parametrize(
    ("content", "code", "sentence"),
    [
        (files.pdf_locked(), "pdf_locked", "This PDF is locked with a password."),
        (files.pdf(1)[:-40], "broken", "This file is damaged or incomplete."),
        (b"%PDF-1.7 nothing %%EOF", "broken", "This file is damaged or incomplete."),
        (files.pdf(61), "scan_pages", "This PDF has 61 pages; at most 60 are read at once."),
        (files.photo()[:200], "broken", "This file is damaged or incomplete."),
        (
            files.png_bomb(20_000, 20_000),
            "too_many_pixels",
            f"more than {MAX_PIXELS // 1_000_000} megapixels",
        ),
    ],
)
def test_a_file_that_is_no_scan_says_why(content: bytes, code: str, sentence: str) -> None:
    with pytest.raises(NotTaken) as refused:
        read(content, 1)
    assert refused.value.code == code
    assert sentence in scan_sentence(code, refused.value.values)


def test_a_pdf_without_a_page_is_broken() -> None:
    # In a process of its own: the library keeps the last error, here that of a locked file.
    refused = pytest.raises(Unreadable, match="broken")
    with refused, scans.scan_opened([files.pdf(0)]) as source, scans.pages_of(source, [1]):
        pass


def test_pages_of_every_size_are_drawn_and_those_of_no_copier_are_not() -> None:
    """A2 is 420 × 594 mm (ISO 216); 4000 pixels are the longest side of a picture here."""
    told, drawn = read(sized((297, 420), (420, 594), (300, 1200), (5000, 5000)), 1, 2, 3, 4)
    assert [each.get("refused") for each in told["read"]] == [None, None, "too_long", "too_long"]
    assert drawn[0].size == pytest.approx((2339, 3307), abs=2)
    assert max(drawn[1].size) == pytest.approx(4000, abs=1)


def test_a_page_that_is_damaged_spoils_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = pypdfium2.PdfPage.render

    def render(page: pypdfium2.PdfPage, **how: Any) -> Any:
        if page.get_width() > 600:
            raise pypdfium2.PdfiumError("broken")
        return usual(page, **how)

    monkeypatch.setattr(pypdfium2.PdfPage, "render", render)
    told, drawn = read(sized((210, 297), (297, 420), (210, 297)), 1, 2, 3)
    assert [each.get("refused") for each in told["read"]] == [None, "broken", None]
    assert len(drawn) == 2


def test_a_page_without_memory_for_it_is_too_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_gray: object) -> None:
        raise MemoryError

    monkeypatch.setattr(scan_child, "codes_on", fail)
    assert read(files.pdf(1), 1)[0]["read"] == [{"refused": "too_heavy"}]


def test_one_line_of_json_is_answered(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(telling, "hold_limits", lambda: None)
    monkeypatch.setattr("sys.stdin", io.StringIO("[1]"))
    source = tmp_path / "scan"
    source.write_bytes(files.pdf(1))
    written = [os.open(tmp_path / name, os.O_CREAT | os.O_WRONLY) for name in ("full", "small")]
    scan_child.main([str(each) for each in (os.open(source, os.O_RDONLY), *written)])
    assert json.loads(capsys.readouterr().out)["pages"] == 1
    with Image.open(tmp_path / "small") as small:
        assert max(small.size) == 480


def processed(content: bytes, *numbers: int) -> tuple[int, list[str]]:
    """By the process itself: how many pages, and of each why it was not drawn."""
    with scan_opened([content]) as source, pages_of(source, numbers) as found:
        return found.count, [page.refused for page in found.pages]


def test_the_process_draws_and_refuses() -> None:
    assert processed(pdf_of([without_code(), without_code(200)]), 1, 2, 3) == (2, ["", ""])
    with pytest.raises(Unreadable, match="pdf_locked"):
        processed(files.pdf_locked(), 1)


def test_a_picture_that_is_a_bomb_spoils_no_page() -> None:
    """40,000 × 40,000 pixels in a few kB: the library leaves it out, so its page shows no code."""
    bomb, plain = (pypdfium2.PdfDocument(each) for each in (files.pdf_bomb(), sized((210, 297))))
    document = pypdfium2.PdfDocument.new()
    for each in (plain, bomb, pypdfium2.PdfDocument(sized((200, 1000)))):
        document.import_pages(each)
    out = io.BytesIO()
    document.save(out)
    assert processed(out.getvalue(), 1, 2, 3, 4) == (3, ["", "", "too_long"])


def test_where_several_pages_are_too_heavy_each_is_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[list[int]] = []

    def answer(_module: str, _files: object, **how: Any) -> dict[str, Any]:
        asked.append(how["asked"])
        if 2 in how["asked"]:
            return {"refused": "too_heavy", "values": {}}
        page = {"width": 1, "height": 1, "codes": []}
        return {"pages": 2, "read": [page] * len(how["asked"])}

    monkeypatch.setattr(scans, "answer_of_child", answer)
    with tempfile.TemporaryFile() as source, pages_of(source, [1, 2, 3]) as found:
        assert isinstance(found, PagesRead)
        assert [(page.number, page.refused) for page in found.pages] == [(1, ""), (2, "too_heavy")]
    assert asked == [[1, 2, 3], [], [1], [2]]


@pytest.mark.parametrize("top", ["top", "bottom", "left", "right"])
def test_a_page_is_turned_by_where_its_top_is(top: Any) -> None:
    upright = Image.fromarray(blank_page(paper_of()))
    lies = {"top": 0, "right": 90, "bottom": 180, "left": 270}[top]
    lying = files.saved(upright.rotate(-lies, expand=True), quality=95)  # clockwise
    with turned(ContentFile(lying), top, "page.jpg") as file, Image.open(file) as image:
        assert image.size == upright.size
        assert np.abs(as_pixels(image) - as_pixels(upright)).mean() < 2
