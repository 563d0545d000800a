import pytest

from app.core.tags import shown
from app.store.demo.drawn_photos import SUBJECTS, TagCard, draw_photo
from app.vision.reading import PhotoTags, read_tags


@pytest.mark.parametrize("subject", SUBJECTS)
def test_the_tag_in_a_drawn_photo_is_read(subject: str) -> None:
    photo = draw_photo(subject, variety=2, words="a test", card=TagCard("garage", 8765, "7K3F9QQ"))
    read = read_tags(photo)

    assert isinstance(read, PhotoTags)
    assert [shown(tag.code) for tag in read.tags] == ["7K3-F9QQ"]
