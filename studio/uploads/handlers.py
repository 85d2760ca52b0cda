"""What comes in over the network, before anybody has looked at it."""

import tempfile
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.core.files.uploadhandler import FileUploadHandler

from .kinds import MAX_BYTES


class BoundedUploadHandler(FileUploadHandler):
    """Keeps a file on disk without a name, so that a killed process leaves no photo behind.

    One that is too large is counted to its end but not kept: its size is refused with the
    reason, and the other files of the same request are not lost.
    """

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.file = tempfile.TemporaryFile()  # noqa: SIM115 -- lives as long as the request

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        if start <= MAX_BYTES:
            self.file.write(raw_data)

    def file_complete(self, file_size: int) -> UploadedFile[Any]:
        self.file.seek(0)
        return UploadedFile(
            file=self.file,
            name=self.file_name,
            content_type=self.content_type,
            size=file_size,
            charset=self.charset,
            content_type_extra=self.content_type_extra,
        )

    def upload_interrupted(self) -> None:
        # A request that is small enough for memory brought no file here.
        if self.file_name is not None:
            self.file.close()
