"""A photo as it came from a tablet: is it one, is it whole, and what of it is kept.

Kept is what makes the picture. Taken out is what says where and with what somebody stood (Exif, XMP, IPTC, comments) and whatever hangs
behind the picture's end. Of Exif the way up is kept: a photo of a face that lies on its side tells the wrong o'clock. Nothing is decoded.
"""

from __future__ import annotations

from collections.abc import Iterator
from zlib import crc32

MOST_PIXELS = 120_000_000  # a tablet that shows more of them runs out of memory
FORMS = {"jpg": "image/jpeg", "png": "image/png", "webp": "image/webp"}
_JPEG, _PNG = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
_EXIF, _ICC = b"Exif\x00\x00", b"ICC_PROFILE\x00"
_PNG_KEPT = (b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"pHYs")
_WEBP_KEPT = (b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ICCP", b"ANIM", b"ANMF")
_SOF = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
_CUT = "the photo is not whole: it breaks off or is damaged. Take it again, or send it again"


class BadPhoto(ValueError):
    """A file that is not kept, as a sentence."""


def cleaned(data: bytes) -> tuple[bytes, str]:
    """What is kept of a photo, and its form: jpg, png, webp. BadPhoto for what is none, is not whole, or has too many pixels."""
    try:
        if data.startswith(_JPEG):
            return b"".join(_jpeg(data)), "jpg"
        if data.startswith(_PNG):
            return b"".join(_png(data)), "png"
        if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
            return _webp(data), "webp"
    except IndexError:
        raise BadPhoto(_CUT) from None
    raise BadPhoto("the file is no photo that is kept; accepted: JPEG, PNG, WebP")


def _must(good: bool) -> None:
    if not good:
        raise BadPhoto(_CUT)


def _size(width: int, height: int) -> None:
    _must(width > 0 and height > 0)
    if width * height > MOST_PIXELS:
        accepted = f"accepted are {MOST_PIXELS // 1_000_000} million"
        raise BadPhoto(f"the photo has {width} by {height} points, {width * height / 1e6:.0f} million; {accepted}. Take it smaller")


def _jpeg(data: bytes) -> Iterator[bytes]:
    """Segment by segment up to the end of the picture (ISO/IEC 10918-1, annex B, from memory)."""
    yield data[:2]
    at, sized, scanned = 2, False, False
    while True:
        _must(data[at] == 0xFF)
        while data[at + 1] == 0xFF:
            at += 1  # fill bytes
        mark = data[at + 1]
        if mark == 0xD9:
            _must(sized and scanned)
            yield data[at : at + 2]
            return
        size = data[at + 2] << 8 | data[at + 3]
        end = at + 2 + size
        _must(size >= 2 and end <= len(data) and not 0xD0 <= mark <= 0xD8)
        segment = data[at:end]
        if mark in _SOF:
            _must(size >= 8)
            _size(segment[7] << 8 | segment[8], segment[5] << 8 | segment[6])
            sized = True
        yield _kept(mark, segment)
        at = end
        if mark == 0xDA:
            scanned, at = True, _after_scan(data, end)
            yield data[end:at]


def _kept(mark: int, segment: bytes) -> bytes:
    """A segment of a JPEG, or what stands for it."""
    if mark == 0xE1 and segment[4:10] == _EXIF:
        return _way_up(segment[10:])
    if mark == 0xE2:
        return segment if segment[4:16] == _ICC else b""
    return b"" if 0xE1 <= mark <= 0xED or mark in (0xEF, 0xFE) else segment  # E0 and EE say how the colours are meant


def _after_scan(data: bytes, at: int) -> int:
    """Where the next marker stands behind the coded picture."""
    while True:
        at = data.find(b"\xff", at)
        _must(0 <= at < len(data) - 1)
        if data[at + 1] != 0 and not 0xD0 <= data[at + 1] <= 0xD7:
            return at
        at += 2


def _way_up(tiff: bytes) -> bytes:
    """A new Exif segment that says the way up and nothing else; none where the old one does not say it, or cannot be read."""
    order = {b"II": "little", b"MM": "big"}.get(tiff[:2])
    if order is None or len(tiff) < 14:
        return b""
    big = order == "big"

    def number(at: int, size: int) -> int:
        return int.from_bytes(tiff[at : at + size], "big" if big else "little")

    first = number(4, 4)
    for n in range(min(number(first, 2), 200)):
        at = first + 2 + 12 * n
        if number(at, 2) == 0x0112 and number(at + 2, 2) == 3 and 2 <= (way := number(at + 8, 2)) <= 8:
            said = b"MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01" + way.to_bytes(2, "big") + bytes(6)
            body = _EXIF + said
            return b"\xff\xe1" + (len(body) + 2).to_bytes(2, "big") + body
    return b""


def _png(data: bytes) -> Iterator[bytes]:
    """Chunk by chunk up to IEND, each held against its sum (W3C PNG specification, from memory)."""
    yield _PNG
    at, first, drawn = len(_PNG), True, False
    while True:
        size, name = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        end = at + 12 + size
        _must(end <= len(data) and len(name) == 4)
        chunk = data[at:end]
        _must(crc32(chunk[4:-4]) == int.from_bytes(chunk[-4:], "big") and first == (name == b"IHDR"))
        if first:
            _must(size == 13)
            _size(int.from_bytes(chunk[8:12], "big"), int.from_bytes(chunk[12:16], "big"))
        first, drawn = False, drawn or name == b"IDAT"
        if name in _PNG_KEPT:
            yield chunk
        if name == b"IEND":
            _must(drawn)
            return
        at = end


def _webp(data: bytes) -> bytes:
    """Chunk by chunk as far as its head says it goes (WebP container specification, from memory)."""
    end = 8 + int.from_bytes(data[4:8], "little")
    _must(end <= len(data))
    at, kept, drawn = 12, [], False
    while at < end:
        name, size = data[at : at + 4], int.from_bytes(data[at + 4 : at + 8], "little")
        after = at + 8 + size + size % 2
        _must(after <= end and len(name) == 4)
        chunk = data[at:after]
        drawn = drawn or name in (b"VP8 ", b"VP8L", b"ANMF")
        if name in (b"VP8X", b"VP8 ", b"VP8L"):
            _size(*_webp_size(name, chunk[8:]))
        if name == b"VP8X":
            chunk = chunk[:8] + bytes([chunk[8] & ~0x0C]) + chunk[9:]  # it has no Exif and no XMP any more
        if name in _WEBP_KEPT:
            kept.append(chunk)
        at = after
    _must(drawn)
    body = b"WEBP" + b"".join(kept)
    return b"RIFF" + len(body).to_bytes(4, "little") + body


def _webp_size(name: bytes, body: bytes) -> tuple[int, int]:
    _must(len(body) >= 10 or (name == b"VP8L" and len(body) >= 5))
    if name == b"VP8X":
        return 1 + int.from_bytes(body[4:7], "little"), 1 + int.from_bytes(body[7:10], "little")
    if name == b"VP8L":
        bits = int.from_bytes(body[1:5], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    return int.from_bytes(body[6:8], "little") & 0x3FFF, int.from_bytes(body[8:10], "little") & 0x3FFF
