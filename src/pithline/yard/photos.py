"""Photos: let in within limits, turned upright, made anew without what the camera wrote."""

from __future__ import annotations

import io
import warnings

from pithline.errors import BadValue
from pithline.yard.files import keep
from pithline.yard.models import StoredFile

__all__ = ["MOST_BYTES", "MOST_PIXELS", "cleaned", "take_photo"]

MOST_BYTES = 25_000_000
MOST_PIXELS = 60_000_000
_TYPES = ("JPEG", "PNG", "WEBP")  # a phone's two pictures in one file (MPO) are opened as JPEG
_LONGEST = 4000  # [px]; more shows no more of a slab, and fills the disk


def cleaned(data: bytes, keep_metadata: bool = False) -> tuple[bytes, int, int]:
    """A photo made anew: upright, as JPEG, without metadata unless it is kept on purpose.

    Parameters
    ----------
    data : bytes
        As handed in.
    keep_metadata : bool
        Keep the EXIF block (time, place, camera), except the turn that was applied.

    Returns
    -------
    data : bytes
    width, height : int
        [px]

    Raises
    ------
    BadValue
        Too many bytes or pixels, another type, or damaged.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if len(data) > MOST_BYTES:
        raise BadValue(
            "photo", f"{len(data) / 1e6:.1f} MB", f"at most {MOST_BYTES / 1e6:.0f} MB", "Make it smaller."
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # we count pixels ourselves
            opened = Image.open(io.BytesIO(data), formats=_TYPES)
        if opened.width * opened.height > MOST_PIXELS:
            raise BadValue(
                "photo",
                f"{opened.width} x {opened.height} pixels",
                f"at most {MOST_PIXELS / 1e6:.0f} million pixels",
                "Make it smaller.",
            )
        upright = ImageOps.exif_transpose(opened)
        exif = upright.getexif()
        picture = upright.convert("RGB")
    except UnidentifiedImageError:
        raise BadValue("photo", "another kind of file", "a JPEG, PNG or WebP picture") from None
    except Image.DecompressionBombError:
        raise BadValue(
            "photo", "a giant", f"at most {MOST_PIXELS / 1e6:.0f} million pixels", "Make it smaller."
        ) from None
    except (OSError, SyntaxError, ValueError) as problem:
        raise BadValue("photo", "damaged", "a whole picture", f"{problem}.") from None
    picture.thumbnail((_LONGEST, _LONGEST))
    # A new picture, so that nothing but the pixels comes along.
    clean = Image.new("RGB", picture.size)
    clean.paste(picture)
    out = io.BytesIO()
    clean.save(out, "JPEG", quality=88, optimize=True, **({"exif": exif} if keep_metadata else {}))
    return out.getvalue(), clean.width, clean.height


def take_photo(data: bytes, keep_metadata: bool | None = None) -> StoredFile:
    """Let a photo into the book's store; `attach_photo` then says what it shows.

    Raises
    ------
    BadValue
        See `cleaned`.
    """
    from pithline.yard.preferences import setting

    wanted = setting("keep_photo_data") if keep_metadata is None else keep_metadata
    made, width, height = cleaned(data, wanted)
    return keep(made, "image/jpeg", width, height)
