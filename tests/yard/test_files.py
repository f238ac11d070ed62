"""Files by their content; photos made anew without what the camera wrote."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from pithline.errors import BadValue
from pithline.yard.files import keep, path_of, put, read_file
from pithline.yard.photos import MOST_BYTES, cleaned, take_photo
from tests.book import enter


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.PITHLINE_FOLDER = tmp_path
    return tmp_path


def photo(size=(60, 40), how="JPEG", **more) -> bytes:
    picture = Image.new("RGB", size, (200, 30, 30))
    picture.paste((30, 30, 200), (0, 0, size[0] // 2, size[1]))  # blue on the left
    out = io.BytesIO()
    picture.save(out, how, **more)
    return out.getvalue()


def with_exif(orientation=1) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "Some Camera"
    exif.get_ifd(0x8825)[2] = (42.0, 30.0, 0.0)  # latitude
    return photo(exif=exif)


def test_the_same_bytes_are_one_file(folder):
    first, again = keep(b"abc", "text/plain"), keep(b"abc", "text/plain")
    # SHA-256 of "abc": FIPS 180-4 example.
    assert first.sha256 == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert first == again
    assert [p for p in folder.rglob("*") if p.is_file()] == [path_of(first.sha256)]


@pytest.mark.parametrize("name", ["", "../../etc/passwd", "a" * 63, "A" * 64, "/" + "a" * 63])
def test_no_path_is_made_of_anything_but_a_hash(name):
    with pytest.raises(BadValue, match="SHA-256"):
        path_of(name)


def test_a_file_that_was_changed_is_not_handed_out():
    file = keep(b"abc", "text/plain")
    path_of(file.sha256).write_bytes(b"abd")
    with pytest.raises(BadValue, match="unchanged"):
        read_file(file)
    path_of(file.sha256).unlink()
    with pytest.raises(BadValue, match="folder"):
        read_file(file)


def test_a_half_written_file_is_never_seen(folder, monkeypatch):
    import os

    def broken(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", broken)
    with pytest.raises(OSError, match="space"):
        put(b"abc")
    assert not [p for p in folder.rglob("*") if p.is_file()]


@pytest.mark.parametrize("how", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_made_anew_as_jpeg(how):
    file = take_photo(photo(how=how))
    made = Image.open(io.BytesIO(read_file(file)))
    assert (file.media_type, made.format) == ("image/jpeg", "JPEG")
    assert (file.width_px, file.height_px) == made.size == (60, 40)


def test_where_and_with_what_it_was_taken_is_left_out():
    data, *_ = cleaned(with_exif())
    assert not Image.open(io.BytesIO(data)).getexif()
    assert b"Some Camera" not in data


def test_it_is_kept_only_on_purpose():
    enter("set_preference", name="keep_photo_data", value=True)
    kept = Image.open(io.BytesIO(read_file(take_photo(with_exif())))).getexif()
    assert kept[0x010F] == "Some Camera"
    assert kept.get_ifd(0x8825)[2] == (42.0, 30.0, 0.0)


def test_a_photo_held_on_its_side_is_turned_upright_once():
    # Orientation 6: the camera was turned, so show it a quarter turn clockwise (EXIF 2.3, tag 0x0112).
    data, width, height = cleaned(with_exif(6), keep_metadata=True)
    made = Image.open(io.BytesIO(data))
    assert (width, height) == made.size == (40, 60)
    assert made.getexif().get(0x0112, 1) == 1
    assert made.getpixel((20, 10))[2] > 150  # what was left is now above
    assert made.getpixel((20, 50))[0] > 150


def test_a_huge_photo_is_made_smaller():
    _, width, height = cleaned(photo((5000, 2500), "PNG"))
    assert (width, height) == (4000, 2000)


@pytest.mark.parametrize(
    "data",
    [b"", b"hello", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%PDF-1.4", photo()[:200],
     photo(how="GIF"), photo(how="TIFF")],
)  # fmt: skip
def test_what_is_no_photo_is_refused(data):
    with pytest.raises(BadValue, match="photo"):
        cleaned(data)


def test_too_many_bytes_or_pixels_are_refused():
    with pytest.raises(BadValue, match="25 MB"):
        cleaned(b"\xff" * (MOST_BYTES + 1))
    with pytest.raises(BadValue, match="million pixels"):
        cleaned(photo((10_000, 7_000), "PNG"))
    # So many that the library itself refuses; one bit each, so that they need no memory here.
    vast = io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(vast, "PNG")
    with pytest.raises(BadValue, match="60 million pixels"):
        cleaned(vast.getvalue())
