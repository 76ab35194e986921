"""Photographs: upright, cut to shape, no larger than print needs, and silent about where they were taken."""

from __future__ import annotations

import io
import random
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageCms, TiffTags
from PIL.PngImagePlugin import PngInfo

from guidegen.drawing import pictures
from guidegen.drawing.pictures import place_in_photo, prepare_photo
from guidegen.errors import GuidegenError

ORIENTATION, MODEL, GPS = 0x0112, 0x0110, 0x8825  # CIPA DC-008 (Exif), tags


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def quarters(size=(400, 300)) -> Image.Image:
    """Red top left, green top right, blue bottom left, white bottom right."""
    image = Image.new("RGB", size, "white")
    half = size[0] // 2, size[1] // 2
    image.paste((255, 0, 0), (0, 0, *half))
    image.paste((0, 160, 0), (half[0], 0, size[0], half[1]))
    image.paste((0, 0, 255), (0, half[1], half[0], size[1]))
    return image


@pytest.fixture
def photo(tmp_path) -> Path:
    image = quarters()
    exif = image.getexif()
    exif[MODEL] = "secret camera"
    exif.get_ifd(GPS).update({1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)})
    path = tmp_path / "photo.jpg"
    image.save(path, exif=exif, comment=b"secret comment", dpi=(72, 72))
    assert opened(path.read_bytes()).getexif().get_ifd(GPS)
    return path


def test_a_picture_that_was_changed_is_read_again(photo):
    before = prepare_photo(photo, 40, 30)
    assert prepare_photo(photo, 40, 30) is before
    quarters((300, 400)).transpose(Image.Transpose.ROTATE_90).save(photo, quality=50)
    assert prepare_photo(photo, 40, 30) != before


def test_place_camera_and_comments_are_gone(photo):
    data = prepare_photo(photo, 40, 30)
    image = opened(data)
    assert image.format == "JPEG"
    assert not image.getexif()
    assert b"secret" not in data
    assert b"Exif" not in data
    assert not {"exif", "comment", "icc_profile", "xmp"} & set(image.info)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("box", [(40, 30), (40, 20), (20, 30)])
def test_a_place_is_found_again_in_the_picture_that_was_cut(orientation, box, tmp_path):
    """A spot painted into the picture is where prepare_photo puts it, by what Pillow makes of the file."""
    upright = Image.new("RGB", (400, 300), "white")
    upright.paste("black", (232, 112, 248, 128))  # its middle at 60 %, 40 %
    undo = {5: Image.Transpose.TRANSPOSE, 6: Image.Transpose.ROTATE_90, 7: Image.Transpose.TRANSVERSE}
    undo |= {8: Image.Transpose.ROTATE_270, 3: Image.Transpose.ROTATE_180}
    undo |= {2: Image.Transpose.FLIP_LEFT_RIGHT, 4: Image.Transpose.FLIP_TOP_BOTTOM}
    stored = upright.transpose(undo[orientation]) if orientation in undo else upright
    exif = stored.getexif()
    exif[ORIENTATION] = orientation
    path = tmp_path / "spot.png"
    stored.save(path, exif=exif)
    result = opened(prepare_photo(path, *box)).convert("L")
    x, y = place_in_photo(path, *box, (0.6, 0.4))
    spot = result.point(lambda v: 255 if v < 100 else 0).getbbox()
    assert spot
    found = [(a + b) / 2 for a, b in (spot[0::2], spot[1::2])]
    assert found == pytest.approx([x / box[0] * result.width, y / box[1] * result.height], abs=2)


def test_a_place_that_is_cut_off_is_none(photo):
    assert place_in_photo(photo, 20, 40, (0.02, 0.5)) is None
    assert place_in_photo(photo, 20, 40, (0.5, 0.5)) == (10, 20)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_upright_whichever_way_the_camera_was_held(orientation, tmp_path):
    """The stored picture is turned the way that each orientation undoes (CIPA DC-008, table 6)."""
    undo = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    image = quarters()
    stored = image.transpose(undo[orientation]) if orientation in undo else image
    exif = stored.getexif()
    exif[ORIENTATION] = orientation
    path = tmp_path / "turned.jpg"
    stored.save(path, exif=exif, quality=95)
    result = opened(prepare_photo(path, 40, 30))
    red, green, blue = (
        result.getpixel((x * result.width // 4, y * result.height // 4)) for x, y in ((1, 1), (3, 1), (1, 3))
    )
    assert red[0] > 200 > red[2]
    assert green[1] > 130 > green[0]
    assert blue[2] > 200 > blue[0]


def test_no_more_pixels_than_print_needs(photo):
    assert opened(prepare_photo(photo, 25.4, 25.4, dpi=100)).size == (100, 100)


def test_never_blown_up(photo):
    assert opened(prepare_photo(photo, 254, 190.5)).size == (400, 300)


def test_cut_to_the_shape_of_the_box_and_not_stretched(photo):
    for width_mm, pixels in ((30, 300), (20, 173)):  # one with as many pixels as it has, one with fewer
        image = opened(prepare_photo(photo, width_mm, width_mm))
        assert image.size == (pixels, pixels)
        assert image.getpixel((10, 10))[0] > 200  # still red: cut evenly on both sides
        assert image.getpixel((pixels - 10, 10))[1] > 130


@pytest.mark.parametrize("width_mm", range(12, 60, 4))
def test_never_more_than_300_pixels_to_the_inch_nor_fewer_than_are_asked_for(photo, width_mm):
    """300: the usual rule of printers for pictures (common practice, no source)."""
    image = opened(prepare_photo(photo, width_mm, width_mm * 3 / 4))
    assert image.width <= 300 * width_mm / 25.4 + 1
    assert image.width >= min(400, 220 * width_mm / 25.4 - 1)


def test_clear_ground_becomes_white(tmp_path):
    path = tmp_path / "clear.png"
    Image.new("RGBA", (50, 50), (0, 0, 0, 0)).save(path)
    assert opened(prepare_photo(path, 20, 20)).getpixel((25, 25)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["1", "L", "P", "LA", "CMYK", "I;16"])
def test_every_kind_of_pixel_is_read(mode, tmp_path):
    path = tmp_path / ("picture.jpg" if mode == "CMYK" else "picture.png")
    Image.new(mode, (50, 50)).save(path)
    assert opened(prepare_photo(path, 10, 10)).mode == "RGB"


def test_a_grey_picture_of_16_bits_keeps_its_greys(tmp_path):
    path = tmp_path / "scan.png"
    scan = Image.new("I;16", (256, 50))
    for x in range(256):
        for y in range(50):
            scan.putpixel((x, y), 257 * x)
    scan.save(path)
    drawn = opened(prepare_photo(path, 51.2, 10, dpi=127))
    assert drawn.size == (256, 50)
    for x in (0, 64, 128, 200, 255):
        assert abs(drawn.getpixel((x, 25))[0] - x) <= 4  # JPEG


def test_a_profile_is_applied_and_left_out(tmp_path):
    path = tmp_path / "profile.png"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    quarters().save(path, icc_profile=profile)
    image = opened(prepare_photo(path, 40, 30))
    assert "icc_profile" not in image.info
    assert image.getpixel((20, 20))[0] > 240
    quarters().save(path, icc_profile=b"no profile at all")
    assert opened(prepare_photo(path, 40, 30)).getpixel((20, 20))[0] > 240


def test_text_in_a_png_is_left_out(tmp_path):
    note = PngInfo()
    note.add_text("Comment", "secret")
    path = tmp_path / "note.png"
    quarters().save(path, pnginfo=note)
    assert b"secret" not in prepare_photo(path, 40, 30)


def test_too_large_files_and_pictures_are_refused(photo, monkeypatch):
    monkeypatch.setattr(pictures, "LARGEST_PIXELS", 1000)
    with pytest.raises(GuidegenError, match="400 × 300"):
        prepare_photo(photo, 40, 30)
    monkeypatch.setattr(pictures, "LARGEST_BYTES", 100)
    with pytest.raises(GuidegenError, match="MB"):
        prepare_photo(photo, 40, 30)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_damaged_exif_block_is_left_alone_in_silence(kind, tmp_path, recwarn):
    """Bytes changed by chance where the block stands, which starts with the mark of a TIFF file."""
    image = quarters((40, 30))
    exif = image.getexif()
    exif[ORIENTATION], exif[MODEL] = 6, "a camera"
    exif.get_ifd(GPS).update({1: "N", 2: (52.0, 31.0, 12.0)})
    out = io.BytesIO()
    image.save(out, kind, exif=exif)
    data, path = out.getvalue(), tmp_path / "photo.jpg"
    start = max(data.find(mark) for mark in (b"II*\0", b"MM\0*"))
    drawn = 0
    for seed in range(150):
        chance = random.Random(seed)
        found = bytearray(data)
        for _ in range(chance.choice((1, 3, 9))):
            found[chance.randrange(start, min(start + 150, len(found)))] = chance.randrange(256)
        path.write_bytes(found)
        try:
            prepare_photo(path, 40, 30)
        except GuidegenError:  # a PNG has a check sum over the block
            continue
        drawn += 1
    assert drawn > 100 or kind == "PNG"
    assert not recwarn.list


@pytest.mark.parametrize("side", [7_000, 12_000, 30_000])
def test_a_decompression_bomb_is_refused_unopened(side, tmp_path):
    """A few bytes that claim a hundred million pixels and more (PNG, third edition, 11.2.1)."""
    header = b"IHDR" + struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    path = tmp_path / "bomb.png"
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + header + struct.pack(">I", zlib.crc32(header))
        + struct.pack(">I", 0) + b"IDAT" + struct.pack(">I", zlib.crc32(b"IDAT"))
    )  # fmt: skip
    with pytest.raises(GuidegenError, match=f"{side} × {side}|far too many pixels"):
        prepare_photo(path, 40, 30)


def test_what_is_no_picture_is_said(tmp_path, photo):
    with pytest.raises(GuidegenError, match="no picture"):
        prepare_photo(tmp_path / "none.jpg", 40, 30)
    with pytest.raises(GuidegenError, match="opened|read"):
        prepare_photo(tmp_path, 40, 30)
    for content in (b"", b"hello", b"<svg/>", b"%PDF-1.7", b"\x89PNG\r\n\x1a\n"):
        path = tmp_path / "other.jpg"
        path.write_bytes(content)
        with pytest.raises(GuidegenError, match="read|damaged"):
            prepare_photo(path, 40, 30)


@pytest.mark.parametrize("kind", ["jpg", "png"])
def test_a_file_cut_short_is_refused(kind, tmp_path):
    whole, path = tmp_path / f"whole.{kind}", tmp_path / f"cut.{kind}"
    quarters((64, 48)).save(whole)
    data = whole.read_bytes()
    for length in range(0, len(data) * 8 // 10, max(1, len(data) // 40)):
        path.write_bytes(data[:length])
        with pytest.raises(GuidegenError):
            prepare_photo(path, 40, 30)


def test_tags_used_here_are_those_of_the_standard():
    assert TiffTags.lookup(ORIENTATION).name == "Orientation"
    assert TiffTags.lookup(MODEL).name == "Model"
    assert TiffTags.lookup(GPS).name == "GPSInfoIFD"
