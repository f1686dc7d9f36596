"""Photos beside the record: each under the hash of its bytes, so that the entry that names it also proves it."""

from __future__ import annotations

import os
import re
from hashlib import sha256
from pathlib import Path

MOST = 8_000_000  # bytes of one photo
FORMS = {"jpg": (b"\xff\xd8\xff", "image/jpeg"), "png": (b"\x89PNG\r\n\x1a\n", "image/png"), "webp": (b"RIFF", "image/webp")}
_NAME = re.compile(r"[0-9a-f]{64}\.(jpg|png|webp)")


class BadPhoto(ValueError):
    """A file that is not kept, as a sentence."""


class Photos:
    """A folder of photos. It comes into being with the first one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def keep(self, data: bytes) -> str:
        """Write a photo and return its name. BadPhoto for what is no photo, or too large. The same photo twice is one file."""
        if len(data) > MOST:
            raise BadPhoto(f"the photo has {len(data) / 1e6:.1f} MB; accepted are {MOST / 1e6:.0f} MB. Take it smaller, or send it alone")
        name = f"{sha256(data).hexdigest()}.{_form(data)}"
        path = self.folder / name
        if not path.exists():
            self.folder.mkdir(parents=True, exist_ok=True)
            part = path.with_suffix(f".{os.getpid()}.part")
            with part.open("wb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            part.replace(path)
        return name

    def read(self, name: str) -> tuple[bytes, str]:
        """A photo and its form. FileNotFoundError for a name that is none; BadPhoto where its bytes are not those it was kept with."""
        if not _NAME.fullmatch(name):
            raise FileNotFoundError(name)
        data = (self.folder / name).read_bytes()
        if sha256(data).hexdigest() != name.partition(".")[0]:
            raise BadPhoto(f"photo {name[:12]} is not as it was when it was entered")
        return data, FORMS[name.partition(".")[2]][1]


def _form(data: bytes) -> str:
    for name, (begins, _) in FORMS.items():
        if data.startswith(begins) and (name != "webp" or data[8:12] == b"WEBP"):
            return name
    raise BadPhoto("the file is no photo that is kept; accepted: JPEG, PNG, WebP")
