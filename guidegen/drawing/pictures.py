"""Photographs made ready for print: upright, no larger than needed, without what the camera wrote inside."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from guidegen.errors import PictureError

if TYPE_CHECKING:
    from PIL.Image import Image as PillowImage

LARGEST_BYTES = 60_000_000
LARGEST_PIXELS = 120_000_000  # of a JPEG, which can be decoded smaller
LARGEST_OTHER_PIXELS = 40_000_000
PHOTO_FORMATS = ("JPEG", "PNG", "WEBP")
JPEG_QUALITY = 85
_SPARE = 1.36  # times the pixels across that may stay: 300 to the inch where 220 are asked for
MM_PER_INCH = 25.4
_ORIENTATION = 0x0112  # Exif tag
_TURNED = (5, 6, 7, 8)  # orientations on their side


class NamedBuffer(BytesIO):
    """A file in memory. Pillow tells the format from the name, and then loads what it has for no other."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name


def prepare_photo(path: Path, width_mm: float, height_mm: float, dpi: float = 220) -> bytes:
    """The picture as JPEG that fills width_mm × height_mm, cut at the long sides where the shape differs.

    Turned upright as its EXIF orientation says (CIPA DC-008), in sRGB, and without metadata (place, time,
    camera). One of much more than dpi pixels to the inch is made smaller. Raises PictureError when it cannot
    be read or is too large.
    """
    return _prepared(path, _stamp(path), (_pixels(width_mm, dpi), _pixels(height_mm, dpi)))


def _stamp(path: Path) -> tuple[int, int] | None:
    """By which a file is known to be the same; None where there is none, as is told on opening it."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


@lru_cache(maxsize=16)  # guide and booklet print the same
def _prepared(path: Path, stamp: tuple[int, int] | None, target: tuple[int, int]) -> bytes:
    with opened(path) as image:
        image.draft("RGB", target)  # a JPEG can be decoded at half size and less
        plain = _on_white(_in_srgb(upright(image)))
        fitted = _fitted(plain, _no_larger(target, plain.size))
    fitted.info.clear()
    out = NamedBuffer("photo.jpg")
    fitted.save(out, quality=JPEG_QUALITY, optimize=True)
    return out.getvalue()


def place_in_photo(
    path: Path, width_mm: float, height_mm: float, share: tuple[float, float]
) -> tuple[float, float] | None:
    """Where a place of the picture comes to stand in mm when prepare_photo has cut it to that size.

    share: of the upright picture's width from its left, of its height from its top. None where it is cut off.
    """
    size = _upright_size(path)
    scale = max(width_mm / size[0], height_mm / size[1])
    x, y = (
        (part - 0.5) * pixels * scale + length / 2
        for part, pixels, length in zip(share, size, (width_mm, height_mm), strict=True)
    )
    return (x, y) if 0 <= x <= width_mm and 0 <= y <= height_mm else None


def photo_ratio(path: Path) -> float:
    """Width to height of the upright picture. Raises PictureError when it cannot be read or is too large."""
    width, height = _upright_size(path)
    return width / height


def _upright_size(path: Path) -> tuple[int, int]:
    with opened(path) as image:
        return image.size[::-1] if _orientation(image) in _TURNED else image.size


@contextmanager
def opened(path: Path, formats: tuple[str, ...] = PHOTO_FORMATS) -> Iterator[PillowImage]:
    """The picture file, decoded within the limits. Raises PictureError for all that is wrong with it."""
    from PIL import Image, UnidentifiedImageError

    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise PictureError(
                path, f"The picture {path} is larger than {LARGEST_BYTES // 1_000_000} MB: save it smaller"
            )
        with warnings.catch_warnings():
            warnings.simplefilter(
                "ignore"
            )  # the limits here are our own, and what is amiss in Exif is no loss
            with Image.open(path, formats=formats) as image:
                most = LARGEST_PIXELS if image.format == "JPEG" else LARGEST_OTHER_PIXELS
                if image.width * image.height > most:
                    raise PictureError(
                        path,
                        f"The picture {path} has {image.width} × {image.height} pixels, "
                        f"more than {most // 1_000_000} million: save it smaller",
                    )
                yield _in_eight_bits(image) if image.mode.startswith("I") else image
    except FileNotFoundError:
        raise PictureError(path, f"There is no picture {path}") from None
    except Image.DecompressionBombError as error:  # far beyond the limits here
        raise PictureError(path, f"The picture {path} has far too many pixels: save it smaller") from error
    except UnidentifiedImageError as error:
        raise PictureError(
            path, f"{path} is not a picture that can be read: save it as JPEG or PNG"
        ) from error
    except (OSError, SyntaxError, ValueError, EOFError) as error:  # what Pillow says to a damaged file
        raise PictureError(path, f"The picture {path} is damaged or cannot be opened: {error}") from error


def _in_eight_bits(image: PillowImage) -> PillowImage:
    """A grey picture of 16 bits, as scanners save it, with 8: Pillow would cut off what is above 255."""
    grey = image.convert("I").point(lambda value: value * (1 / 257)).convert("L")
    grey.format, grey.info = image.format, dict(image.info)
    return grey


def _orientation(image: PillowImage) -> int:
    """The Exif orientation, 1 to 8; 1, upright, where it cannot be read."""
    try:
        orientation = image.getexif().get(_ORIENTATION)
    except Exception:  # Pillow meets a damaged block with errors of many kinds
        return 1
    return orientation if isinstance(orientation, int) else 1


def upright(image: PillowImage) -> PillowImage:
    """The picture turned as its Exif orientation says; as it is where that cannot be read."""
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    turn = turns.get(_orientation(image))
    return image if turn is None else image.transpose(turn)


def _pixels(length_mm: float, dpi: float) -> int:
    return max(1, round(length_mm / MM_PER_INCH * dpi))


def _no_larger(target: tuple[int, int], given: tuple[int, int]) -> tuple[int, int]:
    """The target's shape, but with no more pixels across or along than the picture has."""
    scale = min(1.0, given[0] / target[0], given[1] / target[1])
    return max(1, round(target[0] * scale)), max(1, round(target[1] * scale))


def _fitted(image: PillowImage, size: tuple[int, int]) -> PillowImage:
    """The middle of the picture that has the shape of the size, in that size or not much larger."""
    from PIL.Image import Resampling

    (width, height), scale = image.size, min(image.width / size[0], image.height / size[1])
    left, top = max(0.0, width - size[0] * scale) / 2, max(0.0, height - size[1] * scale) / 2
    box = (left, top, width - left, height - top)
    if scale < _SPARE:
        return image.crop(box)  # by whole pixels
    # By whole numbers it is made smaller at once; by the rest with half the work of the usual filter.
    return image.resize(size, Resampling.HAMMING, box, reducing_gap=1.0)


def _in_srgb(image: PillowImage) -> PillowImage:
    """Colours converted from the picture's own profile; a profile that cannot be read is left out."""
    profile = image.info.get("icc_profile")
    if not profile or image.mode not in ("RGB", "CMYK"):
        return image
    from PIL import ImageCms

    try:
        given = ImageCms.ImageCmsProfile(BytesIO(profile))
        converted = ImageCms.profileToProfile(image, given, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError):
        return image
    return converted or image


def _on_white(image: PillowImage) -> PillowImage:
    from PIL import Image

    if not image.has_transparency_data:
        return image.convert("RGB")
    clear = image.convert("RGBA")
    ground = Image.new("RGBA", clear.size, "white")
    return Image.alpha_composite(ground, clear).convert("RGB")
