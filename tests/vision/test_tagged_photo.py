import io

from PIL import Image

from app.core.problem import Problem
from app.core.tags import Address, payload
from app.paper.qr import qr_matrix
from app.store.intake.take_in import PhotoRead
from app.vision.tagged_photo import read_photo

CODE, OTHER = "7K3F9QQ", "2222228"


def square(address: Address, module: int) -> Image.Image:
    matrix = qr_matrix(payload("bay", 8765, address.code, address.half))
    side = len(matrix) * module
    small = Image.new("L", (len(matrix), len(matrix)))
    small.putdata([0 if dark else 255 for row in matrix for dark in row])
    return small.resize((side, side), Image.Resampling.NEAREST)


def photo_of(*tags: Address, module: int = 8) -> bytes:
    picture = Image.new("L", (3000, 1200), 200)
    for nth, address in enumerate(tags):
        mark = square(address, module)
        picture.paste(Image.new("L", (mark.width + 80, mark.height + 80), 255), (60 + nth * 900, 60))
        picture.paste(mark, (100 + nth * 900, 100))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=90)
    return out.getvalue()


def test_a_photo_comes_shrunk_with_the_codes_of_its_full_size() -> None:
    found = read_photo(photo_of(Address(CODE), module=3))

    assert isinstance(found, PhotoRead)
    assert found.codes == (CODE,)
    assert max(found.width, found.height) < 3000
    assert Image.open(io.BytesIO(found.jpeg)).size == (found.width, found.height)


def test_both_halves_of_a_tag_are_one_code() -> None:
    found = read_photo(photo_of(Address(CODE, "A"), Address(OTHER), Address(CODE, "B")))

    assert isinstance(found, PhotoRead)
    assert sorted(found.codes) == sorted([CODE, OTHER])


def test_a_photo_without_a_tag_is_kept_all_the_same() -> None:
    found = read_photo(photo_of())

    assert isinstance(found, PhotoRead)
    assert found.codes == ()


def test_what_is_no_photo_is_a_problem_in_words() -> None:
    found = read_photo(b"no photo at all")

    assert isinstance(found, Problem)
    assert found.message.endswith(".")
