"""A photo's small copy, in the reading process: upright, in plain red, green and blue, with nothing but pixels in it."""

from __future__ import annotations

import base64
import io
import warnings
from typing import Any

from PIL import Image, ImageCms, ImageOps

from airwrit.intake.child.pixels import DAMAGED, opened
from airwrit.intake.reader.limits import LONGEST_COPY, Limits

_QUALITY = 78


def read(data: bytes, limits: Limits) -> dict[str, Any]:
    """The copy as JPEG in base64. Fault when the photo is damaged or too large."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of odd parts that bear on no pixel
        picture = _upright(opened(data, limits, mode="RGB", longest=LONGEST_COPY)[0])
        picture.thumbnail((LONGEST_COPY, LONGEST_COPY), Image.Resampling.LANCZOS)
        plain = _plain(picture)
    out = io.BytesIO()
    bare = Image.frombytes(
        "RGB", plain.size, plain.tobytes()
    )  # leaves behind all that was told beside the pixels
    bare.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return {"jpeg": base64.b64encode(out.getvalue()).decode("ascii")}


def _upright(picture: Image.Image) -> Image.Image:
    try:
        return ImageOps.exif_transpose(picture)
    except DAMAGED:
        return picture


def _plain(picture: Image.Image) -> Image.Image:
    """In sRGB; what is transparent is white."""
    if picture.mode.startswith(("I", "F")):
        picture = picture.point(lambda value: value / 256).convert("L")
    profile = picture.info.get("icc_profile")
    if picture.mode in ("LA", "PA", "RGBA", "La", "RGBa") or "transparency" in picture.info:
        clear = picture.convert("RGBA")
        picture = Image.alpha_composite(Image.new("RGBA", clear.size, "white"), clear)
    shown = picture.convert("RGB")
    if profile and picture.mode in ("RGB", "RGBA"):
        try:
            told = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            turned = ImageCms.profileToProfile(shown, told, ImageCms.createProfile("sRGB"))
        except (*DAMAGED, ImageCms.PyCMSError):
            return shown
        return shown if turned is None else turned
    return shown
