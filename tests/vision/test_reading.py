import io
import math
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from app.core.problem import Problem
from app.core.tags import Address, payload
from app.paper.qr import qr_matrix
from app.vision.photo import open_photo
from app.vision.reading import PhotoTags, read_tags
from tests.vision.composed import drawn, engine_bay, paste_tilted, photographed, printed


def read(data: bytes) -> PhotoTags:
    answer = read_tags(data)
    assert isinstance(answer, PhotoTags)
    return answer


def seen(answer: PhotoTags) -> list[Address]:
    return [Address(tag.code, tag.half) for tag in answer.tags]


def square(text: str, module: int = 8) -> Image.Image:
    matrix = qr_matrix(text)
    picture = Image.new("L", (len(matrix) + 8, len(matrix) + 8), 255)
    for y, row in enumerate(matrix):
        for x, black in enumerate(row):
            picture.putpixel((x + 4, y + 4), 0 if black else 255)
    return picture.resize((picture.width * module, picture.height * module), Image.Resampling.NEAREST)


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_tag_photographed_in_place_is_read_however_the_phone_was_held(
    tmp_path: Path, orientation: int
) -> None:
    [code] = drawn(1)
    [(half_a, _)] = printed([code], tmp_path)
    picture = engine_bay(1600, 1200)
    paste_tilted(picture, half_a, (700, 400), px_per_module=5, turn=17)
    answer = read(photographed(picture, orientation=orientation))
    assert seen(answer) == [Address(code, "A")]
    assert (answer.width, answer.height, answer.foreign) == (1600, 1200, 0)


def test_corners_are_in_the_upright_photo_and_follow_the_square() -> None:
    picture = Image.new("L", (1200, 900), 120)
    picture.paste(square(payload("garage", 8765, "7K3F9QQ", "B")).rotate(90), (300, 200))
    [tag] = read(photographed(picture, orientation=6)).tags
    # Turned left by a quarter, the square's own upper left corner is the lower left one.
    left, top, side, border = 300, 200, 29 * 8, 4 * 8
    near, far = border, border + side
    expected = [
        (left + near, top + far),
        (left + near, top + near),
        (left + far, top + near),
        (left + far, top + far),
    ]
    for corner, place in zip(tag.corners, expected, strict=True):
        assert math.dist(corner, place) < 4


def test_small_tags_of_two_pixels_to_a_module_are_read_by_enlarging(tmp_path: Path) -> None:
    codes = drawn(12)
    picture = engine_bay(2400, 1800)
    for at, (half_a, _) in enumerate(printed(codes, tmp_path)):
        paste_tilted(
            picture, half_a, (60 + at % 4 * 580, 80 + at // 4 * 560), px_per_module=2.0, turn=at * 7 - 40
        )
    photo = photographed(picture, blur=0.9)
    plain = zxingcpp.read_barcodes(Image.open(io.BytesIO(photo)))
    answer = read(photo)
    assert len(plain) < len(codes)
    assert {tag.code for tag in answer.tags} == set(codes)
    for tag in answer.tags:
        column, row = codes.index(tag.code) % 4, codes.index(tag.code) // 4
        for x, y in tag.corners:
            assert 60 < x - column * 580 < 640
            assert 80 < y - row * 560 < 640


def test_both_halves_of_many_tags_are_read_once_each_the_nearest_first(tmp_path: Path) -> None:
    codes = drawn(3)
    picture = engine_bay(2000, 1500)
    for at, (half_a, half_b) in enumerate(printed(codes, tmp_path)):
        paste_tilted(picture, half_a, (100, 60 + at * 460), px_per_module=4 + 2 * at, turn=5)
        paste_tilted(picture, half_b, (1000, 60 + at * 460), px_per_module=3.5 + 2 * at, turn=-8)
    expected = [Address(code, half) for code in reversed(codes) for half in "AB"]
    assert seen(read(photographed(picture))) == expected


def test_squares_that_are_no_tags_are_counted_only() -> None:
    picture = Image.new("L", (1400, 500), 200)
    picture.paste(square("http://garage.local:8765/T/7K3F9QR"), (20, 20))
    picture.paste(square("a parts bag"), (500, 20))
    picture.paste(square(payload("garage", 8765, "7K3F9QQ")), (1000, 20))
    answer = read(photographed(picture))
    assert seen(answer) == [Address("7K3F9QQ")]
    assert answer.foreign == 2


def test_a_photo_without_a_tag_has_none() -> None:
    answer = read(photographed(engine_bay(1200, 900)))
    assert (answer.tags, answer.foreign) == ((), 0)


def test_a_photo_opened_once_serves_for_reading() -> None:
    picture = Image.new("L", (500, 500), 200)
    picture.paste(square(payload("garage", 8765, "7K3F9QQ")), (60, 60))
    photo = open_photo(photographed(picture))
    assert not isinstance(photo, Problem)
    answer = read_tags(photo)
    assert isinstance(answer, PhotoTags)
    assert seen(answer) == [Address("7K3F9QQ")]


def test_what_is_no_photo_is_a_problem() -> None:
    answer = read_tags(b"no photo")
    assert isinstance(answer, Problem)
    assert answer.code == "photo-not-one"
