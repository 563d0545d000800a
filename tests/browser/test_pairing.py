"""Nobody reads anything without a key, and a key is given once for each code."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.garage import Garage, OpenPhone, pair, pairing_address


def status_of(page: Page, address: str) -> int:
    answer = page.goto(address)
    assert answer
    return answer.status


def test_a_pairing_code_lets_one_phone_in_and_no_other(
    owner: Page, open_phone: OpenPhone, garage: Garage
) -> None:
    address = pairing_address(owner, garage, "Helper")
    assert address.startswith(garage.at("/pair/"))
    helper, second = open_phone(), open_phone()
    pair(helper, address, name="Ilse")
    expect(helper.locator("body")).to_have_attribute("data-role", "helper")

    assert status_of(second, address) == 403
    expect(second.get_by_text("This code is spent")).to_be_visible()
    expect(second.get_by_role("button", name="Let this phone in")).to_have_count(0)
    assert status_of(second, garage.at("/b/1/bay")) == 401


def test_looking_at_a_pairing_code_does_not_spend_it(
    owner: Page, open_phone: OpenPhone, garage: Garage
) -> None:
    address = pairing_address(owner, garage, "Onlooker")
    preview, phone = open_phone(), open_phone()
    assert status_of(preview, address) == 200
    pair(phone, address, name="Pia")
    expect(phone.locator("body")).to_have_attribute("data-role", "onlooker")


def test_two_phones_with_one_code_open_let_only_the_first_in(
    owner: Page, open_phone: OpenPhone, garage: Garage
) -> None:
    address = pairing_address(owner, garage, "Helper")
    first, second = open_phone(), open_phone()
    second.goto(address)
    second.get_by_label("Your name").fill("Somebody")
    pair(first, address, name="Ilse")
    second.get_by_role("button", name="Let this phone in").tap()
    expect(second.get_by_text("This code is spent")).to_be_visible()
    assert status_of(second, garage.at("/b/1/bay")) == 401


def test_a_made_up_pairing_code_is_refused(open_phone: OpenPhone, garage: Garage) -> None:
    assert status_of(open_phone(), garage.at("/pair/AAAAAAAAAAAAAAAAAAAAAA")) == 403


def test_pairing_by_number_moves_over_to_the_name(owner: Page, open_phone: OpenPhone, garage: Garage) -> None:
    address = pairing_address(owner, garage, "Helper")
    phone = open_phone()
    phone.goto(address.replace("garage.local", "127.0.0.1"))
    expect(phone).to_have_url(address)


def test_the_start_link_is_spent_after_one_browser(
    owner: Page, open_phone: OpenPhone, garage: Garage
) -> None:
    owner.goto(garage.at("/"))
    stranger = open_phone()
    stranger.goto(garage.start_link)
    expect(stranger.get_by_text("This start link is spent")).to_be_visible()
    stranger.goto(garage.at("/"))
    expect(stranger).to_have_url(re.compile("/knock$"))


@pytest.mark.parametrize(
    "path",
    ["/b/1/bay", "/b/1/put-back", "/b/1/status", "/b/1/crew", "/T/7K3F9QQ/A", "/sheets/1.pdf", "/p/0.jpg"],
)
def test_a_browser_without_a_key_reads_nothing(
    owner: Page, open_phone: OpenPhone, garage: Garage, path: str
) -> None:
    owner.goto(garage.at("/"))
    stranger = open_phone()
    assert status_of(stranger, garage.at(path)) == 401
    expect(stranger.get_by_text("Blue van")).to_have_count(0)


def test_a_helper_cannot_let_phones_in(owner: Page, open_phone: OpenPhone, garage: Garage) -> None:
    helper = open_phone()
    pair(helper, pairing_address(owner, garage, "Helper"), name="Ilse")
    helper.goto(garage.at("/b/1/crew"))
    expect(helper.get_by_role("button", name="Let a phone in")).to_have_count(0)
    expect(helper.get_by_role("button", name=re.compile("Shut out"))).to_have_count(0)
    assert status_of(helper, garage.at("/b/1/settings")) == 403
