"""Photos made ready for a document: upright, scaled down, rid of where, when and with what they were taken."""

from __future__ import annotations

import warnings
from io import BytesIO
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.photo_mark import mark_of
from appraise.tables.content import open_file

if TYPE_CHECKING:
    from pathlib import Path

    from PIL import Image

    from appraise.model.photo_mark import Mark
    from appraise.report.document import Photo

LONGEST = 1600
"""Longest side [pixels]: a hand's breadth on paper at 300 to the inch."""

LARGEST = 64 * 1024 * 1024
"""A photo's file larger than this [bytes] is not opened."""

KINDS = ("JPEG", "PNG", "WEBP", "GIF", "TIFF", "BMP")
"""Kinds of picture that are read, as Pillow names them."""

QUALITY = 85
"""Of the JPEG written, 1–95."""

MARK_SHARE = 0.09
"""Radius of a circle and length of an arrow's barbs, as a share of the shorter side [–]."""

_PLACED = ("RGBA", "LA", "PA")


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture, encoded."""

    content: bytes
    kind: str
    """`jpeg` or `png`."""
    width: int
    """[pixels]"""
    height: int
    """[pixels]"""


def too_large(path: Path) -> str:
    """Say why a file is too large to be opened as a picture; empty where it is not.

    Raises:
        OSError: It is not there.
    """
    size = path.stat().st_size
    if size <= LARGEST:
        return ""
    return f"too large to be shown: {size / 1e6:,.0f} MB, the limit is {LARGEST / 1e6:,.0f} MB"


def picture(photo: Photo) -> Picture | str:
    """Read a photo and make it small enough for a document.

    Args:
        photo: What a document holds.

    Returns:
        The picture, or why it cannot be shown, in a few words.
    """
    if photo.problem or photo.path is None:
        return photo.problem or "not found"
    try:
        return too_large(photo.path) or _read(photo.path, mark_of(photo.mark))
    except OSError as error:
        return unreadable(error)


def unreadable(error: OSError) -> str:
    """Say in a few words that a file cannot be read as a picture."""
    return f"cannot be read as a picture ({error.strerror or 'damaged, or of another kind'})"


def _read(path: Path, mark: Mark | None) -> Picture | str:
    shot = scaled(path, (LONGEST, LONGEST))
    if isinstance(shot, str):
        return shot
    draw_mark(shot, mark)
    return _encode(shot)


def draw_mark(shot: Image.Image, mark: Mark | None, *, least: int = 2) -> None:
    """Draw an arrow or a circle on a picture, dark within light, so that it shows on any ground.

    Args:
        shot: The picture, upright.
        mark: What is drawn; none: nothing.
        least: Width of the dark line at the least [pixels].
    """
    if mark is None:
        return
    from PIL import ImageDraw

    pen, short = ImageDraw.Draw(shot), min(shot.size)
    x, y = shot.width * mark.x / 100, shot.height * mark.y / 100
    reach, width = max(4.0, short * MARK_SHARE), max(least, round(short / 150))
    for colour, stroke in (((255, 255, 255), 3 * width), ((170, 0, 40), width)):
        if mark.shape == "circle":
            radius = reach + stroke // 2
            pen.ellipse((x - radius, y - radius, x + radius, y + radius), outline=colour, width=stroke)
            continue
        # From the side on which there is room.
        along, down = (-1 if x > shot.width / 2 else 1), (-1 if y > shot.height / 2 else 1)
        pen.line((x, y, x + along * 2 * reach, y + down * 2 * reach), fill=colour, width=stroke)
        pen.line((x, y, x + along * reach, y), fill=colour, width=stroke)
        pen.line((x, y, x, y + down * reach), fill=colour, width=stroke)


def scaled(path: Path, box: tuple[int, int]) -> Image.Image | str:
    """Return a picture upright, no larger than a box, in sRGB or with its transparency.

    Args:
        path: The file, all links resolved.
        box: Greatest width and height [pixels].

    Returns:
        The picture, or why it cannot be shown.

    Raises:
        OSError: It cannot be read.
    """
    from PIL import Image, ImageOps

    with warnings.catch_warnings():
        # Pillow warns of a picture that unpacks to very many pixels before it refuses one; neither is wanted.
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with open_file(path, follow=False) as stream, Image.open(stream, formats=KINDS) as opened:
                opened.draft("RGB", box)
                shot = ImageOps.exif_transpose(opened)
                shot.thumbnail(box)
                clear = shot.mode in _PLACED or "transparency" in shot.info
                return shot.convert("RGBA") if clear else _plain(shot)
        except (Image.DecompressionBombError, Image.DecompressionBombWarning):
            return "too many pixels to be shown"
        except (ValueError, SyntaxError, EOFError, ArithmeticError, LookupError, TypeError):
            # What Pillow raises, beside OSError, on files that somebody broke on purpose.
            return "cannot be read as a picture (damaged)"


def _plain(shot: Image.Image) -> Image.Image:
    """Return the picture in sRGB: the profile it may carry would be lost with all else that the camera added."""
    from PIL import ImageCms

    profile = shot.info.get("icc_profile")
    if profile and shot.mode in ("RGB", "CMYK"):
        try:
            theirs, ours = ImageCms.ImageCmsProfile(BytesIO(profile)), ImageCms.createProfile("sRGB")
            converted = ImageCms.profileToProfile(shot, theirs, ours, outputMode="RGB")
            if converted is not None:
                return converted
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass  # a profile that says nothing: taken for sRGB, as every viewer does
    return shot.convert("RGB")


def _encode(shot: Image.Image) -> Picture:
    out = BytesIO()
    shot.info = {}  # place, time, camera and whatever else stood beside the picture
    if shot.mode == "RGBA":
        shot.save(out, "PNG")
        return Picture(out.getvalue(), "png", *shot.size)
    shot.save(out, "JPEG", quality=QUALITY)
    return Picture(out.getvalue(), "jpeg", *shot.size)
