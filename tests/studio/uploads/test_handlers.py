"""One file that is too large costs neither the disk nor the rest of the batch."""

import io
from typing import Any

import pytest
from django.core.files.uploadedfile import UploadedFile
from django.core.files.uploadhandler import MemoryFileUploadHandler
from django.http.multipartparser import MultiPartParser
from django.test import RequestFactory
from django.utils.datastructures import MultiValueDict

from studio.config import settings as configured
from studio.uploads import handlers
from studio.uploads.handlers import BoundedUploadHandler

BOUNDARY = "clay"


def posted(*contents: bytes) -> MultiValueDict[str, UploadedFile[Any]]:
    """What a view finds in `request.FILES`."""
    body = b"".join(
        b'--clay\r\nContent-Disposition: form-data; name="photo"; filename="p%d.jpg"\r\n'
        b"Content-Type: image/jpeg\r\n\r\n%b\r\n" % (number, content)
        for number, content in enumerate(contents)
    )
    body += b"--clay--\r\n"
    meta = {
        "CONTENT_TYPE": f"multipart/form-data; boundary={BOUNDARY}",
        "CONTENT_LENGTH": str(len(body)),
    }
    _, found = MultiPartParser(meta, io.BytesIO(body), [BoundedUploadHandler()]).parse()
    return found


def test_files_arrive_whole_with_their_names() -> None:
    first, second = posted(b"slab", b"coil" * 100_000).getlist("photo")
    assert (first.name, first.size, first.read()) == ("p0.jpg", 4, b"slab")
    assert second.read() == b"coil" * 100_000
    first.close()
    second.close()


def test_a_file_that_is_too_large_is_counted_but_not_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(handlers, "MAX_BYTES", 100_000)
    large, small = posted(b"x" * 1_000_000, b"coil").getlist("photo")
    assert large.size == 1_000_000
    assert len(large.read()) <= 100_000 + BoundedUploadHandler.chunk_size
    assert small.read() == b"coil"
    large.close()
    small.close()


def test_a_broken_off_upload_leaves_nothing() -> None:
    handler = BoundedUploadHandler()
    handler.new_file("photo", "p.jpg", "image/jpeg", None)
    handler.receive_data_chunk(b"half", 0)
    handler.upload_interrupted()
    assert handler.file.closed


def test_a_small_request_that_breaks_off_is_no_error() -> None:
    """Its file was on the way to memory, so this handler never saw it."""
    begun = (
        b'--clay\r\nContent-Disposition: form-data; name="photo"; filename="p.jpg"\r\n\r\n\xff\xd8'
    )
    request = RequestFactory().generic("POST", "/", begun, "multipart/form-data; boundary=clay")
    assert not request.POST
    assert not request.FILES


def test_as_configured_small_files_stay_in_memory_and_large_ones_come_here() -> None:
    assert [path.rsplit(".", 1)[-1] for path in configured.FILE_UPLOAD_HANDLERS] == [
        MemoryFileUploadHandler.__name__,
        BoundedUploadHandler.__name__,
    ]
