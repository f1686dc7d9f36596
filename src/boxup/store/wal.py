"""The log beside a SQLite file (`-wal`): what is recorded and not yet in the file itself.

SQLite reads it up to the first part that is not whole, and says nothing of what follows. That is right behind the end of what was finished:
a killed program leaves the beginning of a write there, even a whole one that nobody was told of. Before the end it means damage, and
entries would be lost in silence. Where the end is, the index of the log (`-shm`) says; a record that was carried without it can only be
judged by how much follows. Format: SQLite's own description of its file format, "The Write-Ahead Log", and of its "WAL-index".
"""

from __future__ import annotations

import struct
import sys
from collections.abc import Iterator
from pathlib import Path

from boxup.store.file import log_of

_HEADER, _FRAME = 32, 24
_MAGIC = 0x377F0682  # the last bit says whether the checksums are of big-endian words
_TRIES = 5
_LEFT_BY_A_KILL = 1  # finished writes that may stand behind the end: of one that was killed before it could say so

LOST = (
    "The log beside the record (-wal) is damaged: {where} is not as it was written. SQLite will leave out what follows without a word: "
    "compare the last entries with the paper before anybody writes."
)


def wrong_with_log(path: Path) -> str:
    """What is wrong with the log of a record, "" for nothing or no log. To be asked before the record is opened."""
    log = log_of(path)
    index = _read(log.with_name(log.name.removesuffix("-wal") + "-shm"))  # first: it may count less than the log has, never more
    return wrong_in(_settled(log), index)


def wrong_in(log: bytes, index: bytes = b"") -> str:
    """What is wrong in the bytes of a log, by the bytes of its index where there is one."""
    if not log.strip(b"\0"):
        return ""
    magic, _, size = struct.unpack(">III", log[:12].ljust(12, b"\0"))
    order = ">" if magic & 1 else "<"
    sums = _sum(order, log[:24].ljust(24, b"\0"), (0, 0))
    if magic & ~1 != _MAGIC or struct.pack(">II", *sums) != log[24:_HEADER]:
        return LOST.format(where="its header")
    frames = [log[start : start + _FRAME + size] for start in range(_HEADER, len(log) - size - _FRAME + 1, _FRAME + size)]
    whole = sum(1 for _ in _whole(frames, order, log[16:24], sums))
    if whole < _finished(index, log[16:24]) or len([*_ends(frames[whole:], log[16:24])]) > _LEFT_BY_A_KILL:
        return LOST.format(where=f"part {whole + 1}")
    return ""


def _whole(frames: list[bytes], order: str, salt: bytes, sums: tuple[int, int]) -> Iterator[bytes]:
    """The frames from the first up to the one that is not as it was written: each carries a checksum over all before it."""
    for frame in frames:
        sums = _sum(order, frame[_FRAME:], _sum(order, frame[:8], sums))
        if frame[8:16] != salt or struct.pack(">II", *sums) != frame[16:24]:
            return
        yield frame


def _ends(frames: list[bytes], salt: bytes) -> Iterator[bytes]:
    """The last frame of each finished write of this turn of the log.

    Frames of earlier turns carry another salt; half of it is drawn anew for each turn, so half of it is enough to know them by.
    """
    for frame in frames:
        if frame[4:8] != b"\0\0\0\0" and (frame[8:12] == salt[:4] or frame[12:16] == salt[4:]):
            yield frame


def _finished(index: bytes, salt: bytes) -> int:
    """How many frames the index counts as finished; 0 where it is of another turn, or in the middle of being written."""
    if len(index) < 96 or index[:48] != index[48:96] or index[32:40] != salt:
        return 0
    return int.from_bytes(index[16:20], sys.byteorder)


def _sum(order: str, data: bytes, before: tuple[int, int]) -> tuple[int, int]:
    """SQLite's checksum of words in pairs, going on from the one before."""
    s0, s1 = before
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for a, b in zip(words[::2], words[1::2], strict=True):
        s0 = (s0 + a + s1) & 0xFFFFFFFF
        s1 = (s1 + b + s0) & 0xFFFFFFFF
    return s0, s1


def _settled(path: Path) -> bytes:
    """The log, not in the middle of being written: read until it comes out the same twice. Empty where it never does.

    A program that writes at this moment reads it by its own index, not by its checksums; there is nothing to lose yet.
    """
    last = b""
    for _ in range(_TRIES):
        found = _read(path)
        if found == last:
            return found
        last = found
    return b""


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:  # not there, or held by another program: then that one looks after it
        return b""
