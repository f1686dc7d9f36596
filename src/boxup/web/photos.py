"""Photos beside the record: each under the hash of its bytes, so that the entry that names it also proves it."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from stat import S_ISREG
from tempfile import mkstemp

from boxup.web.picture import FORMS, BadPhoto, cleaned

MOST = 8_000_000  # bytes of one photo
_NAME = re.compile(r"[0-9a-f]{64}\.(jpg|png|webp)")

__all__ = ["MOST", "BadPhoto", "Photos"]


class Photos:
    """A folder of photos. It comes into being with the first one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def keep(self, data: bytes) -> str:
        """Keep what makes the picture (see `picture`) and return its name; it is on the disk then, whole.

        The same picture twice is one file. BadPhoto for what is no photo, is not whole, is too large, or has no room on the disk.
        """
        if len(data) > MOST:
            raise BadPhoto(f"the photo has {len(data) / 1e6:.1f} MB; accepted are {MOST / 1e6:.0f} MB. Take it smaller, or send it alone")
        kept, form = cleaned(data)
        name = f"{sha256(kept).hexdigest()}.{form}"
        if not self.has(name):
            try:
                self._write(name, kept)
            except OSError as bad:
                why = bad.strerror or type(bad).__name__
                raise BadPhoto(
                    f"the photo could not be kept in {self.folder.name} ({why}). Make room there, or send it without photo"
                ) from bad
        return name

    def has(self, name: str) -> bool:
        """Whether a photo of that name is kept, and is as it was."""
        try:
            self.read(name)
        except (OSError, BadPhoto):
            return False
        return True

    def read(self, name: str) -> tuple[bytes, str]:
        """A photo and its form. FileNotFoundError for a name that is none; BadPhoto where its bytes are not those it was kept with."""
        path = self.folder / name
        if not _NAME.fullmatch(name) or not S_ISREG(path.lstat().st_mode):
            raise FileNotFoundError(name)
        data = path.read_bytes()
        if sha256(data).hexdigest() != name.partition(".")[0]:
            raise BadPhoto(f"photo {name[:12]} is not as it was when it was entered")
        return data, FORMS[name.partition(".")[2]]

    def _write(self, name: str, data: bytes) -> None:
        """Whole or not at all, whoever else writes the same one: under a name of its own first, then in its place."""
        self.folder.mkdir(parents=True, exist_ok=True)
        handle, part = mkstemp(prefix=name[:12], suffix=".part", dir=self.folder)
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            Path(part).replace(self.folder / name)
        except OSError:
            with suppress(OSError):
                Path(part).unlink()
            raise
        _settled(self.folder)


def _settled(folder: Path) -> None:
    """The name too is on the disk; a system that cannot say so of a folder says nothing."""
    with suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
