"""Photos of labels, made here: a code on a label on a mottled ground, turned, seen askew, blurred, noisy, as JPEG."""

from __future__ import annotations

import io
import math
import random
from typing import NamedTuple

import segno
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

KINDS = ("QR Code", "Data Matrix", "Code 128")
_MATRIX_FORMATS = {"Data Matrix": zxingcpp.BarcodeFormat.DataMatrix, "Aztec": zxingcpp.BarcodeFormat.Aztec}
_LINEAR_FORMATS = {"Code 128": zxingcpp.BarcodeFormat.Code128, "Code 39": zxingcpp.BarcodeFormat.Code39}


class Level(NamedTuple):
    """How bad a photo is: blur in pixels, noise in grays."""

    blur: float
    noise: float


EASY, MEDIUM, HARD = Level(0.8, 6), Level(1.5, 15), Level(2.4, 25)
LEVELS = {"easy": EASY, "medium": MEDIUM, "hard": HARD}


def code_picture(kind: str, text: str, module: int) -> Image.Image:
    """A code alone with its quiet zone, `module` pixels to a module."""
    if kind == "QR Code":
        out = io.BytesIO()
        segno.make(text, micro=False).save(out, kind="png", scale=module, border=4)
        return Image.open(out).convert("L")
    made = zxingcpp.create_barcode(text, _MATRIX_FORMATS.get(kind) or _LINEAR_FORMATS[kind])
    plain = zxingcpp.write_barcode_to_image(made, scale=1, add_quiet_zones=True)
    height, width = plain.shape
    picture = Image.frombytes("L", (width, height), bytes(memoryview(plain)))  # type: ignore[arg-type]
    if kind in _LINEAR_FORMATS:
        picture = picture.crop((0, height // 2, width, height // 2 + 1)).resize((width, 40))
    return picture.resize((picture.width * module, picture.height * module), Image.Resampling.NEAREST)


def photo(
    kind: str, text: str, level: Level, seed: int, *, size: tuple[int, int] = (1280, 960), module: int = 4
) -> Image.Image:
    """A photo of a label with one code, any way round."""
    rng = random.Random(seed)
    code = code_picture(kind, text, module)
    label = Image.new("L", (code.width + 60, code.height + 70), 245)
    label.paste(code, (30, 20))
    ImageDraw.Draw(label).text((34, code.height + 30), "a number like this: 12345", fill=20)
    return _taken(label, level, rng, size)


def _taken(label: Image.Image, level: Level, rng: random.Random, size: tuple[int, int]) -> Image.Image:
    width, height = size
    ground = Image.effect_noise((width // 16, height // 16), 40).resize(size, Image.Resampling.BICUBIC)
    ground = ground.point(lambda value: int(60 + value / 3))
    angle = math.radians(rng.uniform(0, 360))
    center = (width / 2 + rng.uniform(-40, 40), height / 2 + rng.uniform(-40, 40))
    corners = []
    for x, y in ((0, 0), (label.width, 0), (label.width, label.height), (0, label.height)):
        u, v = x - label.width / 2, y - label.height / 2
        skew = 0.04 * max(label.size)
        corners.append(
            (
                center[0] + u * math.cos(angle) - v * math.sin(angle) + rng.uniform(-skew, skew),
                center[1] + u * math.sin(angle) + v * math.cos(angle) + rng.uniform(-skew, skew),
            )
        )
    whole = ((0, 0), (label.width, 0), (label.width, label.height), (0, label.height))
    coefficients = _perspective(corners, whole)
    how = Image.Transform.PERSPECTIVE
    laid = label.transform(size, how, coefficients, Image.Resampling.BICUBIC)
    mask = Image.new("L", label.size, 255).transform(size, how, coefficients, Image.Resampling.BICUBIC)
    ground.paste(laid, (0, 0), mask)
    blurred = ground.filter(ImageFilter.GaussianBlur(level.blur))
    return _with_noise(blurred, level.noise, rng)


def _with_noise(picture: Image.Image, sigma: float, rng: random.Random) -> Image.Image:
    """The picture with noise of that spread, the same for the same seed: one tile of it, laid again and again."""
    tile = 128
    grays = bytes(min(255, max(0, round(128 + rng.gauss(0, sigma)))) for _ in range(tile * tile))
    small = Image.frombytes("L", (tile, tile), grays)
    noise = Image.new("L", picture.size, 128)
    for left in range(0, picture.width, tile):
        for top in range(0, picture.height, tile):
            turned = small.rotate(90 * rng.randrange(4))
            noise.paste(turned, (left, top))
    return Image.blend(picture, noise, 0.5).point(lambda value: min(255, max(0, 2 * value - 128)))


def _perspective(source: list[tuple[float, float]], target: tuple[tuple[float, float], ...]) -> list[float]:
    """The eight numbers Pillow asks for, by elimination: they carry each corner of `source` to that of `target`."""
    rows: list[list[float]] = []
    for (x, y), (u, v) in zip(source, target, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, v])
    for at in range(8):
        best = max(range(at, 8), key=lambda row: abs(rows[row][at]))
        rows[at], rows[best] = rows[best], rows[at]
        rows[at] = [value / rows[at][at] for value in rows[at]]
        for row in range(8):
            if row != at:
                factor = rows[row][at]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[at], strict=True)]
    return [row[8] for row in rows]


def as_bytes(picture: Image.Image, kind: str = "JPEG") -> bytes:
    """The picture as a file of that kind."""
    out = io.BytesIO()
    picture.save(out, kind, **({"quality": 80} if kind == "JPEG" else {}))
    return out.getvalue()
