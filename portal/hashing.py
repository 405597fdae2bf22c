"""Uploads that are only hashed: each piece is counted, hashed and let go, so that nothing of the file is ever kept anywhere."""

import re
from hashlib import sha256
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.core.files.uploadhandler import FileUploadHandler

HEAD_BYTES = 5
FINGERPRINT = re.compile(rb"(?<![0-9a-f])[0-9a-f]{64}(?![0-9a-f])")
OVERLAP = 66  # a fingerprint that two pieces share is found whole, with the sign before it and the one after
MOST_FINGERPRINTS = 40


class Hashed(UploadedFile):
    """What is left of an upload: `sha256`, the first bytes, its `size`, and what looks like a fingerprint in it. It cannot be read."""

    def __init__(self, name: str, size: int, sha: str, head: bytes, fingerprints: list[str]) -> None:
        super().__init__(None, name, "application/octet-stream", size)
        self.sha256, self.head, self.fingerprints = sha, head, fingerprints


class Hasher(FileUploadHandler):
    """Hashes a file up to `most` bytes; of a larger one the rest runs through without being looked at, and its `sha256` is ""."""

    def __init__(self, most: int, request: Any = None) -> None:
        super().__init__(request)
        self.most = most

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.hash, self.size, self.head, self.tail = sha256(), 0, b"", b""
        self.found: dict[str, None] = {}

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        self.size += len(raw_data)
        if self.size > self.most:
            return
        self.hash.update(raw_data)
        self.head = (self.head + raw_data)[:HEAD_BYTES]
        self._look(self.tail + raw_data)
        self.tail = (self.tail + raw_data)[-OVERLAP:]

    def file_complete(self, file_size: int) -> Hashed:
        sha = self.hash.hexdigest() if self.size <= self.most else ""
        return Hashed(self.file_name or "", self.size, sha, self.head, list(self.found))

    def _look(self, piece: bytes) -> None:
        for match in FINGERPRINT.finditer(piece):
            if len(self.found) < MOST_FINGERPRINTS:
                self.found[match[0].decode()] = None
