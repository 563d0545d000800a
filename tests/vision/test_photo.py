import io
import struct
import zlib

import pytest
from PIL import Image, ImageOps

from app.core.problem import Problem
from app.vision.photo import MAX_PIXELS, Photo, open_photo
from app.vision.shrinking import Picture, shrink
from tests.vision.composed import ORIENTATION, engine_bay, photographed

PHOTO = photographed(engine_bay(800, 600), orientation=6)


def encoded(picture: Image.Image, kind: str) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind)
    return out.getvalue()


def png_header(width: int, height: int) -> bytes:
    """Return a PNG that claims a size and holds next to nothing."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 100))
        + chunk(b"IEND", b"")
    )


def kept(data: bytes, longest: int = 2000) -> Picture:
    picture = shrink(data, longest)
    assert isinstance(picture, Picture)
    return picture


def test_the_kept_picture_is_upright_and_holds_nothing_but_pixels() -> None:
    assert all(word in PHOTO for word in (b"Exif", b"where it was taken", b"xmpmeta", b"an invented camera"))
    picture = kept(PHOTO)
    assert (picture.width, picture.height) == (800, 600)
    assert not any(word in picture.jpeg for word in (b"Exif", b"where it was taken", b"xmp", b"invented"))
    with Image.open(io.BytesIO(picture.jpeg)) as image:
        assert image.size == (800, 600)
        assert not image.getexif()
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize("orientation", range(1, 9))
def test_all_eight_ways_of_holding_a_camera_come_out_as_the_reference_turns_them(orientation: int) -> None:
    stored, exif, out = Image.linear_gradient("L").resize((60, 40)).rotate(30), Image.Exif(), io.BytesIO()
    exif[ORIENTATION] = orientation
    stored.convert("RGB").save(out, "PNG", exif=exif)
    photo = open_photo(out.getvalue())
    assert isinstance(photo, Photo)
    with Image.open(out) as image:
        turned = ImageOps.exif_transpose(image)
    assert photo.image.size == turned.size
    assert photo.image.tobytes() == turned.tobytes()


def test_a_photo_with_a_damaged_note_of_how_it_was_held_is_kept() -> None:
    picture = Image.new("RGB", (60, 40))
    out = io.BytesIO()
    picture.save(out, "PNG", exif=b"no note")
    assert kept(out.getvalue()).width == 60


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16"])
def test_any_kind_of_pixels_is_kept(mode: str) -> None:
    if mode == "I;16":
        source = Image.new("I;16", (40, 30), 40000)
    else:
        source = Image.new("RGB", (40, 30), "white").convert(mode)
    picture = kept(encoded(source, "PNG"))
    assert (picture.width, picture.height) == (40, 30)


def test_transparent_parts_become_white() -> None:
    with Image.open(
        io.BytesIO(kept(encoded(Image.new("RGBA", (20, 20), (0, 0, 0, 0)), "PNG")).jpeg)
    ) as image:
        assert image.getpixel((10, 10)) == (255, 255, 255)


# The program runs where Pillow's warnings are not errors; the size is refused all the same.
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
@pytest.mark.parametrize(
    ("data", "problem", "words"),
    [
        (b"", "photo-empty", "arrived empty"),
        (b"%PDF-1.7 a bill", "photo-not-one", "not a photo"),
        (b"GIF89a" + bytes(40), "photo-not-one", "JPEG, PNG and WebP"),
        (b"RIFF" + bytes(4) + b"WAVEfmt ", "photo-broken", "damaged"),
        (b"\x00\x00\x00\x18ftypheic" + bytes(40), "photo-heic", "Most Compatible"),
        (b"\x00\x00\x00\x18ftypmif1" + bytes(40), "photo-heic", "Most Compatible"),
        (PHOTO[: len(PHOTO) // 2], "photo-broken", "only part of it arrived"),
        (PHOTO[:20], "photo-broken", "only part of it arrived"),
        (encoded(engine_bay(300, 200), "PNG")[:-2000], "photo-broken", "damaged"),
        (encoded(engine_bay(300, 200), "WEBP")[:-500], "photo-broken", "damaged"),
        (png_header(200, 200), "photo-broken", "damaged"),
        (png_header(8001, 8000), "photo-too-large", "64 megapixels; 64 is the most"),
        (png_header(12000, 9000), "photo-too-large", "108 megapixels"),
        (png_header(60000, 60000), "photo-too-large", "is the most"),
    ],
    ids=range(14),
)
def test_a_file_that_cannot_be_kept_is_answered_with_its_own_sentence(
    data: bytes, problem: str, words: str
) -> None:
    answer = shrink(data)
    assert isinstance(answer, Problem)
    assert (answer.code, answer.where) == (problem, "photo")
    assert words in answer.message


def test_a_photo_at_the_limit_is_taken() -> None:
    side = round(MAX_PIXELS**0.5)
    picture = kept(encoded(Image.new("L", (side, side)), "PNG"))
    assert (picture.width, picture.height) == (2000, 2000)
