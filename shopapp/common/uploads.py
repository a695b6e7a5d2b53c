"""Uploads stop being stored at the limit, while they stream in: nobody fills the disk with one request."""

from __future__ import annotations

from django.core.files.uploadhandler import FileUploadHandler

from .images import MOST_BYTES


class CappedUpload(FileUploadHandler):
    """First of the handlers. Lets through what crosses the limit, so that the form can say the file is too large,
    and swallows the rest; the limit is for all files of a request together. It stands before sign-in is looked at,
    since the token against forgery is read from the same body."""

    def __init__(self, request=None) -> None:
        super().__init__(request)
        self.let_through = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        if self.let_through > MOST_BYTES:
            return None
        self.let_through += len(raw_data)
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """The handlers behind this one keep the file."""
