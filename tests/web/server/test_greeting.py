from pathlib import Path

import zxingcpp
from PIL import Image

from app.web.server.greeting import Reach, greeting, picture

EVERYWHERE = "0.0.0.0"  # noqa: S104 - compared, not listened on


def text(reach: Reach, printed: tuple[tuple[str, int], ...] = (), *, demo: bool = False) -> str:
    return greeting(Path("/data"), reach, demo=demo, printed=printed)


def drawn(blocks: str) -> Image.Image:
    """Return what a dark terminal shows, two rows to a line, each cell eight dots wide."""
    rows = []
    for line in blocks.splitlines():
        rows += [[sign in "█▀" for sign in line], [sign in "█▄" for sign in line]]
    image = Image.new("L", (len(rows[0]), len(rows)))
    image.putdata([255 if light else 0 for row in rows for light in row])
    return image.resize((image.width * 8, image.height * 8), Image.Resampling.NEAREST)


def test_a_server_on_the_network_says_who_can_reach_it_and_who_can_read() -> None:
    said = text(Reach(EVERYWHERE, 8765, "garage", ("192.0.2.7", "192.0.2.8"), "key"))

    assert "http://127.0.0.1:8765/start/key" in said
    for address in ("http://garage.local:8765/", "http://192.0.2.7:8765/", "http://192.0.2.8:8765/"):
        assert address in said
    assert "Anyone on this network can reach this address; only paired phones can read anything." in said
    assert said.endswith("To stop: Ctrl+C here.")


def test_the_picture_in_the_terminal_reads_as_the_address_for_phones() -> None:
    said = text(Reach(EVERYWHERE, 8765, "garage", ("192.0.2.7",), "key"))
    blocks = picture("http://garage.local:8765/")

    assert blocks in said
    assert [code.text for code in zxingcpp.read_barcodes(drawn(blocks), try_invert=False)] == [
        "http://garage.local:8765/"
    ]


def test_where_the_name_belongs_to_another_machine_only_numbers_are_given() -> None:
    said = text(Reach(EVERYWHERE, 8765, "", ("192.0.2.7",), "key"))

    assert ".local" not in said
    assert picture("http://192.0.2.7:8765/") in said


def test_a_server_for_this_computer_alone_says_so() -> None:
    said = text(Reach("127.0.0.1", 8765, "garage", (), "key"))

    assert "Only this computer can reach it" in said
    assert "garage.local" not in said
    assert "Anyone on this network" not in said


def test_a_server_on_one_address_gives_that_one_for_this_computer_too() -> None:
    assert (
        Reach("192.0.2.7", 9000, "garage", ("192.0.2.7",), "key").start_link
        == "http://192.0.2.7:9000/start/key"
    )


def test_addresses_on_tags_already_printed_are_named_when_they_are_not_the_one_in_use() -> None:
    reach = Reach(EVERYWHERE, 8765, "garage", (), "key")

    assert "garage-old.local:8765" in text(reach, (("garage", 8765), ("garage-old", 8765)))
    assert "already printed" not in text(reach, (("garage", 8765),))


def test_the_demo_says_that_it_is_invented() -> None:
    reach = Reach(EVERYWHERE, 8766, "demo-garage", (), "key")

    assert "invented" in text(reach, demo=True)
    assert "invented" not in text(reach)
