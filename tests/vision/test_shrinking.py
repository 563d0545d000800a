import hashlib
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageStat

from app.core.problem import Problem
from app.vision.photo import Photo, open_photo
from app.vision.shrinking import Picture, rendition, shrink
from tests.vision.composed import engine_bay, photographed

PHOTO = photographed(engine_bay(800, 600), orientation=6)


def encoded(picture: Image.Image, kind: str) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind)
    return out.getvalue()


def kept(data: bytes, longest: int = 2000) -> Picture:
    picture = shrink(data, longest)
    assert isinstance(picture, Picture)
    return picture


def test_an_upright_copy_looks_like_what_was_photographed() -> None:
    picture = Image.new("L", (600, 400), 30)
    picture.paste(250, (0, 0, 100, 100))
    with Image.open(io.BytesIO(kept(photographed(picture, orientation=6)).jpeg)) as image:
        light = image.convert("L")
    corners = [light.getpixel(place) for place in ((50, 50), (550, 50), (550, 350), (50, 350))]
    assert [isinstance(grey, int) and grey > 150 for grey in corners] == [True, False, False, False]


@pytest.mark.parametrize(("longest", "size"), [(2000, (800, 600)), (400, (400, 300)), (1, (1, 1))])
def test_the_longer_side_is_kept_below_the_limit_and_never_enlarged(
    longest: int, size: tuple[int, int]
) -> None:
    picture = kept(PHOTO, longest)
    assert (picture.width, picture.height) == size


def test_the_same_photo_gives_the_same_picture_named_by_its_hash() -> None:
    first, second = kept(PHOTO), kept(PHOTO)
    assert first == second
    assert first.sha256 == hashlib.sha256(first.jpeg).hexdigest()


def test_a_photo_opened_once_gives_the_same_picture() -> None:
    photo = open_photo(PHOTO)
    assert isinstance(photo, Photo)
    assert shrink(photo) == kept(PHOTO)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_kind_of_file_is_kept_as_jpeg(kind: str) -> None:
    assert kept(encoded(engine_bay(300, 200), kind)).jpeg.startswith(b"\xff\xd8\xff")


# Pillow tells of a damaged note in a whole photo by a warning.
@pytest.mark.filterwarnings("ignore::UserWarning")
@settings(max_examples=150)
@given(
    st.sampled_from(["JPEG", "PNG", "WEBP"]), st.lists(st.tuples(st.integers(0, 3000), st.binary(max_size=6)))
)
def test_a_damaged_file_is_a_picture_or_a_problem_never_an_error(
    kind: str, damage: list[tuple[int, bytes]]
) -> None:
    data = PHOTO if kind == "JPEG" else encoded(engine_bay(60, 40), kind)
    for at, wrong in damage:
        data = data[:at] + wrong + data[at + len(wrong) :]
    assert isinstance(shrink(data, 100), Picture | Problem)


def test_a_rendition_is_the_same_picture_and_much_lighter() -> None:
    whole = kept(PHOTO)
    small = Image.open(io.BytesIO(rendition(whole.jpeg, 160)))

    assert max(small.size) == 160
    assert abs(small.width / small.height - whole.width / whole.height) < 0.02
    pictures = (small, Image.open(io.BytesIO(whole.jpeg)))
    mean = [float(ImageStat.Stat(image.convert("L")).mean[0]) for image in pictures]
    assert abs(mean[0] - mean[1]) <= 3
    assert len(rendition(whole.jpeg, 160)) < len(whole.jpeg) / 8
    assert rendition(kept(encoded(Image.new("L", (20, 10)), "PNG")).jpeg, 160)  # smaller ones keep their size
