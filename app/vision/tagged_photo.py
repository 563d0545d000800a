"""A photo as a phone sends it: opened, shrunk to what is kept, and the tags in it read."""

from app.core.problem import Problem
from app.store.intake.take_in import PhotoRead
from app.vision.photo import open_photo
from app.vision.reading import read_tags
from app.vision.shrinking import shrink


def read_photo(photo: bytes) -> PhotoRead | Problem:
    """Return a photo as it is to be kept with the codes read in its full size, or why it is none."""
    opened = open_photo(photo)
    if isinstance(opened, Problem):
        return opened
    tags = read_tags(opened)
    if isinstance(tags, Problem):
        return tags
    small = shrink(opened)
    if isinstance(small, Problem):
        return small
    codes = tuple(dict.fromkeys(tag.code for tag in tags.tags))
    return PhotoRead(small.jpeg, small.width, small.height, codes)
