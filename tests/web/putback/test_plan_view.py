import re

from tests.web.conftest import Garage


def step(garage: Garage, begins: str) -> str:
    return str(garage.one("SELECT id FROM step WHERE name LIKE ? || '%'", begins))


def test_the_plan_says_heights_time_split_and_what_waits(busy: Garage) -> None:
    page = busy.owner.get("/b/1/plan").text
    assert "3 changes of height, proved fewest. The plain reverse has 5: this saves 2." in page
    freer = busy.owner.get("/b/1/plan?order=held").text
    assert re.search(r"changes? of height, proved fewest. The plain reverse has \d+: this saves \d", freer)
    assert re.search(r"About \d+ h.*: between ", page)
    assert re.search(r"h.* with 3 people", page)
    assert page.count('class="plan-ready"') == page.count("<b>ready</b>") > 0
    assert page.count('class="plan-waits"') == page.count("<b>waits</b> for ") > 0


def test_names_of_steps_are_text_on_the_drawing(garage: Garage) -> None:
    garage.owner.post(
        "/b/1/steps", name="<script>x", height="lift", people="1", minutes="5", direction="both"
    )
    garage.item("part", name="A", step=step(garage, "<script>"))
    page = garage.owner.get("/b/1/plan").text
    assert "&lt;script&gt;x" in page
    assert "<script>x" not in page
