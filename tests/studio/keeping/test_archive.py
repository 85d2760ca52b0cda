"""The file of a back-up by itself: what was written is read, and nothing else is taken for it."""

import io
import json
import struct
import zipfile
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from studio.errors import Refused
from studio.keeping import archive
from studio.keeping.archive import Damaged, Manifest, Writer, line_of, opened

ROWS: list[list[Any]] = [["id", "name"], [1, "Ode"], [2, "Bram, “the tall”"]]
PICTURE = bytes(range(256)) * 8
Edit = Callable[[dict[str, Any]], None]


def write(path: Path) -> Path:
    with path.open("wb") as out:
        writer = Writer(out, Manifest("2026-03-11T09:30:00+00:00", [["people", "0001_initial"]]))
        writer.table("people.User", map(line_of, ROWS))
        writer.file("images/ab/cd-1.jpg", io.BytesIO(PICTURE))
        writer.finish()
    return path


def content(path: Path) -> tuple[list[Any], bytes, Manifest]:
    with opened(path) as bundle, bundle.file("images/ab/cd-1.jpg") as picture:
        return list(bundle.rows("people.User")), picture.read(), bundle.manifest


def rewritten(
    path: Path, edit: Edit, parts: Callable[[dict[str, bytes]], object] | None = None
) -> None:
    """The same file with another manifest or other parts, by somebody who knows the format."""
    with zipfile.ZipFile(path) as before:
        inside = {name: before.read(name) for name in before.namelist()}
    manifest = json.loads(inside.pop("manifest.json"))
    edit(manifest)
    if parts:
        parts(inside)
    with zipfile.ZipFile(path, "w") as after:
        for name, data in inside.items():
            after.writestr(name, data)
        after.writestr("manifest.json", json.dumps(manifest))


def test_what_was_written_is_read(tmp_path: Path) -> None:
    rows, picture, manifest = content(write(tmp_path / "a.zip"))
    assert (rows, picture) == (ROWS, PICTURE)
    assert (manifest.rows, manifest.tables["people.User"].rows, len(manifest.files)) == (2, 2, 1)


def test_it_is_a_zip_that_other_programs_open(tmp_path: Path) -> None:
    with zipfile.ZipFile(write(tmp_path / "a.zip")) as bundle:
        assert bundle.testzip() is None
        assert bundle.namelist() == [
            "tables/people.User.jsonl",
            "files/images/ab/cd-1.jpg",
            "manifest.json",
        ]


def test_columns_are_written_so_that_nothing_is_rounded() -> None:
    at = datetime(2026, 3, 11, 9, 30, 0, 123456, tzinfo=UTC)
    row = [at, date(2026, 3, 11), time(7, 5), Decimal("0.10"), UUID(int=5), 0.1, None, {"a": [1]}]
    assert json.loads(line_of(row)) == [
        "2026-03-11T09:30:00.123456+00:00",
        "2026-03-11",
        "07:05:00",
        "0.10",
        "00000000-0000-0000-0000-000000000005",
        0.1,
        None,
        {"a": [1]},
    ]
    # Bytes in base 64 (RFC 4648, section 10), as SQLite and as PostgreSQL hand them out.
    assert json.loads(line_of([b"foobar", memoryview(b"foob")])) == ["Zm9vYmFy", "Zm9vYg=="]
    with pytest.raises(TypeError, match="complex has no place in a back-up"):
        line_of([1j])


def test_a_file_cut_short_anywhere_is_refused(tmp_path: Path) -> None:
    whole = write(tmp_path / "a.zip").read_bytes()
    for length in range(0, len(whole), 37):
        (tmp_path / "cut.zip").write_bytes(whole[:length])
        with pytest.raises(Damaged, match=r"damaged or no back-up .* Nothing was written\."):
            content(tmp_path / "cut.zip")


def test_a_byte_changed_anywhere_is_noticed_or_does_no_harm(tmp_path: Path) -> None:
    """A ZIP holds times and flags of which nothing depends; everything else is refused."""
    path = write(tmp_path / "a.zip")
    whole, expected = path.read_bytes(), content(path)
    refused = 0
    for place in range(len(whole)):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
        try:
            assert content(path) == expected, place
        except Refused:
            refused += 1
    assert refused > len(whole) * 0.9


def test_a_picture_in_its_place_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.zip").write_bytes(b"\xff\xd8\xff" + PICTURE)
    with pytest.raises(Damaged):
        content(tmp_path / "a.zip")


def test_no_file_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"There is no file .*nothing\.zip\."):
        content(tmp_path / "nothing.zip")


@pytest.mark.parametrize(
    "name",
    ["../escaped.jpg", "/etc/passwd", "images/../../a.jpg", "images//a.jpg", ".hidden", "a\\b", ""],
)
def test_a_name_that_leads_out_of_the_storage_is_refused(name: str, tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")

    def edit(manifest: dict[str, Any]) -> None:
        manifest["files"][name] = manifest["files"].pop("images/ab/cd-1.jpg")

    def parts(inside: dict[str, bytes]) -> None:
        inside[f"files/{name}"] = inside.pop("files/images/ab/cd-1.jpg")

    rewritten(path, edit, parts)
    with pytest.raises(Damaged, match=r"a name in it is not allowed"):
        content(path)


@pytest.mark.parametrize("name", ["people", "people.User/../x", "People.User"])
def test_a_table_that_is_called_like_none_is_refused(name: str, tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")
    rewritten(
        path, lambda manifest: manifest["tables"].update({name: manifest["tables"]["people.User"]})
    )
    with pytest.raises(Damaged, match="a name in it is not allowed"):
        content(path)


def test_a_part_that_the_manifest_does_not_name_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")
    rewritten(path, lambda _: None, lambda inside: inside.update({"files/more.jpg": b"more"}))
    with pytest.raises(Damaged, match="its parts and its manifest differ"):
        content(path)


def test_another_content_than_its_sum_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")
    rewritten(
        path,
        lambda _: None,
        lambda inside: inside.update({"files/images/ab/cd-1.jpg": PICTURE[::-1]}),
    )
    with pytest.raises(Damaged, match=r"files/images/ab/cd-1\.jpg is not what was written"):
        content(path)


@pytest.mark.parametrize(
    ("edit", "sentence"),
    [
        (lambda m: m.update(format="somebody's"), "it lacks its manifest"),
        (lambda m: m.update(version=2), "of a newer kind. Update this service"),
        (lambda m: m.pop("tables"), "damaged"),
        (lambda m: m.update(tables=[]), "damaged"),
        (lambda m: m["tables"].update({"people.User": 3}), "damaged"),
        (lambda m: m.update(surplus=1), "damaged"),
        (lambda m: m.update(made_at=5), "damaged"),
        (lambda m: m.update(made_at="on Monday"), "damaged"),
        (lambda m: m.update(migrations=None), "damaged"),
        (lambda m: m.update(migrations=["abc"]), "damaged"),
        (lambda m: m.update(migrations=[["people", 1]]), "damaged"),
        (lambda m: m.update(migrations=[[{}, "0001_initial"]]), "damaged"),
        (lambda m: m.update(missing=None), "damaged"),
        (lambda m: m["tables"]["people.User"].update(rows="2"), "damaged"),
    ],
)
def test_a_manifest_that_is_none_of_ours_is_refused(
    edit: Edit, sentence: str, tmp_path: Path
) -> None:
    path = write(tmp_path / "a.zip")
    rewritten(path, edit)
    with pytest.raises(Refused, match=sentence):
        content(path)


def test_a_zip_without_a_manifest_is_refused(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as bundle:
        bundle.writestr("holiday.jpg", PICTURE)
    with pytest.raises(Damaged, match="it lacks its manifest"):
        content(tmp_path / "a.zip")


def test_a_file_that_unfolds_to_far_more_than_it_is_is_not_unfolded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A megabyte of one letter packs a thousandfold; the bound is two hundred and some room."""
    monkeypatch.setattr(archive, "UNFOLDED_ANYWAY", 1000)
    path = tmp_path / "a.zip"
    with path.open("wb") as out:
        writer = Writer(out, Manifest("", []))
        writer.table("people.User", [b"x" * 10_000_000])
        writer.finish()
    with pytest.raises(Damaged, match="it unfolds to far more than it is"):
        content(path)


def test_a_size_that_is_a_lie_stops_at_the_size_that_was_said(tmp_path: Path) -> None:
    """The entry holds more than the manifest says: reading ends there."""
    path = write(tmp_path / "a.zip")
    rewritten(path, lambda m: m["files"]["images/ab/cd-1.jpg"].update(bytes=3))
    with pytest.raises(Damaged, match="is not what was written"):
        content(path)


def test_parts_that_overlap_are_refused(tmp_path: Path) -> None:
    """Many names for the same bytes: how a small file is made to unfold without end."""
    path = write(tmp_path / "a.zip")
    data = path.read_bytes()
    end = data.rfind(b"PK\x05\x06")
    size, start = struct.unpack("<II", data[end + 12 : end + 20])
    directory = data[start : start + size]
    many = b"".join(
        directory.replace(b"cd-1.jpg", f"cd-{n}.jpg".encode()).replace(
            b"people.User.jsonl", f"people.Use{n}.jsonl".encode()
        )
        for n in range(1, 9)
    )
    tail = data[end:]
    tail = tail[:8] + struct.pack("<HHII", 24, 24, len(many), start) + tail[20:]
    path.write_bytes(data[:start] + many + tail)
    with pytest.raises(Damaged, match=r"its parts overlap|a name stands in it twice"):
        content(path)
