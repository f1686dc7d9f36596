"""Photos: what is kept, what is not, and what somebody who means ill may send. The pictures are made here, by another program (Pillow)."""

from __future__ import annotations

import os
import struct
import zlib
from collections.abc import Callable
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from threading import Thread

import pytest
from PIL import Image

from boxup.web.photos import MOST, BadPhoto, Photos
from boxup.web.picture import cleaned

ORIENTATION, MAKE, GPS = 0x0112, 0x010F, 0x8825


def picture(form: str = "JPEG", *, way: int = 1, size: tuple[int, int] = (64, 32), **options: object) -> bytes:
    """A picture black on the left and white on the right, with a place and a maker in its Exif."""
    image = Image.new("RGB", size, "white")
    image.paste("black", (0, 0, size[0] // 2, size[1]))
    exif = image.getexif()
    exif[ORIENTATION], exif[MAKE] = way, "INVENTED CAMERA"
    exif.get_ifd(GPS).update({1: "N", 2: (51.0, 30.0, 0.0)})
    out = BytesIO()
    image.save(out, form, exif=exif, **options)
    return out.getvalue()


def read(data: bytes) -> Image.Image:
    image = Image.open(BytesIO(data))
    image.load()
    return image


@pytest.fixture
def photos(tmp_path: Path) -> Photos:
    return Photos(tmp_path / "photos")


def kept(photos: Photos, data: bytes) -> bytes:
    return photos.read(photos.keep(data))[0]


@pytest.mark.parametrize(
    ("form", "said", "more"),
    [
        ("JPEG", "image/jpeg", {}), ("JPEG", "image/jpeg", {"progressive": True}), ("PNG", "image/png", {}),
        ("WEBP", "image/webp", {}), ("WEBP", "image/webp", {"lossless": True}),
    ],
)  # fmt: skip
def test_a_photo_comes_back_point_for_point_without_place_and_maker(photos: Photos, form: str, said: str, more: dict[str, object]) -> None:
    data = picture(form, **more)
    assert b"INVENTED CAMERA" in data
    name = photos.keep(data)
    back, type_ = photos.read(name)
    assert type_ == said
    assert read(back).tobytes() == read(data).tobytes()
    assert b"INVENTED CAMERA" not in back
    assert not read(back).getexif().get_ifd(GPS)
    assert name.partition(".")[0] == sha256(back).hexdigest()


@pytest.mark.parametrize("way", range(2, 9))
def test_the_way_up_stays(photos: Photos, way: int) -> None:
    back = read(kept(photos, picture(way=way)))
    assert dict(back.getexif()) == {ORIENTATION: way}


def test_the_same_picture_from_another_place_is_one_file(photos: Photos) -> None:
    one = photos.keep(picture())
    plain = BytesIO()
    image = Image.new("RGB", (64, 32), "white")
    image.paste("black", (0, 0, 32, 32))
    image.save(plain, "JPEG")
    assert photos.keep(plain.getvalue()) == one
    assert len(list(photos.folder.iterdir())) == 1


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_what_hangs_behind_the_picture_is_cut_off(photos: Photos, form: str) -> None:
    back = kept(photos, picture(form) + b"PK\x03\x04 <script>alert(1)</script>")
    assert b"script" not in back
    assert b"PK" not in back[-40:]


def test_words_inside_the_picture_are_taken_out(photos: Photos) -> None:
    jpeg = picture()
    evil = b"<script>alert(1)</script>"
    segments = b"".join(bytes([0xFF, mark]) + struct.pack(">H", len(evil) + 2) + evil for mark in (0xFE, 0xE1, 0xED, 0xE2, 0xEF))
    assert evil not in kept(photos, jpeg[:2] + segments + jpeg[2:])
    png = picture("PNG")
    chunk = struct.pack(">I", len(evil)) + b"tEXt" + evil + struct.pack(">I", zlib.crc32(b"tEXt" + evil))
    assert evil not in kept(photos, png[:33] + chunk + png[33:])


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_photo_that_breaks_off_anywhere_is_refused_as_a_sentence(photos: Photos, form: str) -> None:
    data = picture(form, size=(16, 8))
    for length in range(len(data)):
        with pytest.raises(BadPhoto):
            photos.keep(data[:length])
    assert not photos.folder.exists()


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_photo_with_any_byte_changed_is_taken_or_refused_and_nothing_else_happens(form: str) -> None:
    data = picture(form, size=(16, 8))
    for at in range(len(data)):
        for flip in (0x01, 0x80, 0xFF):
            broken = data[:at] + bytes([data[at] ^ flip]) + data[at + 1 :]
            try:
                back, _ = cleaned(broken)
            except BadPhoto:
                continue
            assert len(back) <= len(broken) + 60


@pytest.mark.parametrize(
    "data", [b"", b"GIF89a", b"<svg/>", b"%PDF-1.4", b"\xff\xd8\xff", b"RIFF\x04\x00\x00\x00WEBP", b"\x89PNG\r\n\x1a\n"]
)
def test_no_photo(photos: Photos, data: bytes) -> None:
    with pytest.raises(BadPhoto):
        photos.keep(data)


def test_a_small_file_that_would_be_a_huge_picture_is_refused(photos: Photos) -> None:
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    png = picture("PNG")
    chunk = struct.pack(">I", 13) + b"IHDR" + head + struct.pack(">I", zlib.crc32(b"IHDR" + head))
    with pytest.raises(BadPhoto, match="3600 million"):
        photos.keep(png[:8] + chunk + png[33:])
    jpeg = picture()
    at = jpeg.index(b"\xff\xc0")
    with pytest.raises(BadPhoto, match="60000"):
        photos.keep(jpeg[: at + 5] + struct.pack(">HH", 60_000, 60_000) + jpeg[at + 9 :])


def test_the_largest_is_said(photos: Photos) -> None:
    with pytest.raises(BadPhoto, match="8 MB"):
        photos.keep(b"\xff\xd8\xff" + bytes(MOST))


@pytest.mark.parametrize(
    "name", ["", "..", "../record.db", "/etc/passwd", "a.jpg", "A" * 64 + ".jpg", "a" * 64 + ".svg", "a" * 64 + ".jpg\n"]
)
def test_no_other_file_is_read(photos: Photos, name: str) -> None:
    photos.keep(picture())
    with pytest.raises(FileNotFoundError):
        photos.read(name)


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no symlinks here")
def test_a_link_that_lies_in_the_folder_is_not_followed(photos: Photos, tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_bytes(b"of somebody else")
    photos.folder.mkdir()
    name = f"{sha256(b'of somebody else').hexdigest()}.jpg"
    (photos.folder / name).symlink_to(secret)
    with pytest.raises(FileNotFoundError):
        photos.read(name)


def test_a_link_in_the_place_of_a_photo_is_replaced_and_its_target_left_alone(photos: Photos, tmp_path: Path) -> None:
    name = photos.keep(picture())
    target = tmp_path / "target"
    target.write_bytes(b"mine")
    (photos.folder / name).unlink()
    (photos.folder / name).symlink_to(target)
    assert photos.keep(picture()) == name
    assert photos.has(name)
    assert target.read_bytes() == b"mine"


def test_a_photo_that_was_changed_or_half_written_is_said_and_mended_by_the_same_photo(photos: Photos) -> None:
    name = photos.keep(picture())
    path = photos.folder / name
    path.write_bytes(path.read_bytes()[:50])
    with pytest.raises(BadPhoto, match="not as it was"):
        photos.read(name)
    assert photos.keep(picture()) == name
    assert photos.has(name)


def test_a_full_disk_is_a_sentence_and_leaves_nothing_half(photos: Photos, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BadPhoto, match="No space left"):
        photos.keep(picture())
    assert list(photos.folder.iterdir()) == []


def test_many_hands_send_the_same_photo_at_once(photos: Photos) -> None:
    data, names = picture(size=(640, 480)), []
    hands = [Thread(target=lambda: names.append(photos.keep(data))) for _ in range(12)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert len(names) == 12
    assert [p.name for p in photos.folder.iterdir()] == [names[0]]


def test_a_photo_goes_the_whole_way_from_the_form_to_the_page_and_back(own: Callable) -> None:
    site = own(6)
    data = picture()
    answer = site.enter("finding.raised", photo=data, text="Lug bent", letter="A", about="J5")
    assert answer.status_code == 303
    name = site.events[-1].payload["photo"]
    page = site.page("findings")
    assert f"/photo/{name}" in page
    shown = site.client.get(f"/photo/{name}")
    assert shown.headers["content-type"] == "image/jpeg"
    assert shown.headers["x-content-type-options"] == "nosniff"
    assert read(shown.content).tobytes() == read(data).tobytes()


def test_a_photo_that_is_none_is_refused_and_what_was_typed_stays(own: Callable) -> None:
    site = own(6)
    before = len(site.events)
    answer = site.enter("finding.raised", photo=b"<html>", text="Lug bent", letter="A")
    assert answer.status_code == 422
    assert "Lug bent" in answer.text
    assert len(site.events) == before


def test_a_form_that_is_sent_again_still_has_its_photo(own: Callable) -> None:
    site = own(6)
    answer = site.enter("finding.raised", photo=picture(), text="Lug bent", letter="A", at="never")
    assert answer.status_code == 422
    name = next(site.photos.iterdir()).name
    assert f'name="photo_kept" value="{name}"' in answer.text
    assert site.enter("finding.raised", text="Lug bent", letter="A", photo_kept=name).status_code == 303
    assert site.events[-1].payload["photo"] == name


def test_an_entry_cannot_name_a_photo_that_is_not_kept(own: Callable) -> None:
    site = own(6)
    before = len(site.events)
    answer = site.enter("finding.raised", text="Lug bent", letter="A", photo_kept="f" * 64 + ".jpg")
    assert answer.status_code == 422
    assert len(site.events) == before
    assert site.client.post(
        site.address("enter"),
        data={"kind": "finding.raised", "id": "a-form-of-its-own", "by": "X", "text": "t", "letter": "A", "photo": "/etc/passwd"},
        headers={"origin": "http://localhost"}, follow_redirects=False,
    ).status_code == 303  # fmt: skip
    assert "photo" not in site.events[-1].payload


@pytest.mark.parametrize("name", ["f" * 64 + ".jpg", "..%2f..%2frecord.db", "x", "%00"])
def test_an_address_of_no_photo_is_not_there(told: Callable, name: str) -> None:
    assert told(6).client.get(f"/photo/{name}").status_code == 404
