"""The drawings of the bay as a browser sets them: every label can be read, whatever is open."""

from pathlib import Path
from types import SimpleNamespace

import pytest
from jinja2 import Environment, FileSystemLoader
from playwright.sync_api import Browser

from app.store.plan.builds import LAYOUTS, layout
from app.web.bay.view import count_width, label_lines

ROOT = Path(__file__).parents[2]
STYLES = ("site/base.css", "bay/bay.css")
MANY = 107
"""More than is ever open in one zone: its plate is the widest."""

CLASHES = """() => {
  const clashes = new Set();
  const lines = 'runners metal detail belt outline'.split(' ').map((kind) => `.bay-${kind} path`).join();
  const boxOf = (element, less, said) => {
    const {left, right, top, bottom} = element.getBoundingClientRect();
    return {left, right, top: top + less, bottom: bottom - less, said};
  };
  const holds = (box, {x, y}, gap) =>
    x > box.left - gap && x < box.right + gap && y > box.top - gap && y < box.bottom + gap;
  const meet = (one, other) => one.left < other.right + 1 && other.left < one.right + 1
    && one.top < other.bottom && other.top < one.bottom;
  for (const plan of document.querySelectorAll('.bay-plan')) {
    const labels = [], counts = [];
    for (const zone of plan.querySelectorAll('.bay-zone')) {
      const count = zone.querySelector('.bay-count rect');
      counts.push(boxOf(count, 0, `the count of ${zone.getAttribute('aria-label')}`));
      for (const line of zone.querySelectorAll(':scope > text > tspan')) {
        labels.push(boxOf(line, 2.5, `«${line.textContent}»`));
      }
    }
    const clash = (box, on) => clashes.add(`${plan.getAttribute('aria-label')}: ${box.said} on ${on}`);
    for (const label of labels) {
      for (const count of counts) if (meet(label, count)) clash(label, count.said);
    }
    for (const path of plan.querySelectorAll(`${lines}, .bay-shape`)) {
      const isEdge = path.matches('.bay-shape');
      const near = isEdge ? [...labels, ...counts] : labels;
      const on = isEdge ? 'the edge of a zone' : path.parentNode.className.baseVal;
      const gap = parseFloat(getComputedStyle(path).strokeWidth) / 2 + 0.5;
      const matrix = path.getScreenCTM(), piece = path.cloneNode();
      for (const d of path.getAttribute('d').split(/(?=M)/)) {
        piece.setAttribute('d', d);
        for (let at = 0; at <= piece.getTotalLength(); at += 1) {
          const point = piece.getPointAtLength(at).matrixTransform(matrix);
          for (const box of near) if (holds(box, point, gap)) clash(box, on);
        }
      }
    }
  }
  return {clashes: [...clashes], tires: document.querySelectorAll('.bay-plan .bay-tires path').length};
}"""


@pytest.mark.parametrize("key", LAYOUTS)
def test_no_label_stands_on_a_line_or_under_a_count(browser: Browser, key: str) -> None:
    templates = Environment(loader=FileSystemLoader(ROOT / "templates"), autoescape=True)
    templates.filters |= {"label_lines": label_lines, "count_width": count_width}
    draw = templates.get_template("site/parts/bay.html").module.bay_drawing  # type: ignore[attr-defined] # a macro
    plan = layout(key)
    drawn = []
    for dialect in ("us", "uk"):
        zones = [
            SimpleNamespace(
                id=zone["key"], key=zone["key"], level=zone["level"], label=zone["label"][dialect]
            )
            for zone in plan["zones"]
        ]
        counts = dict.fromkeys((zone.id for zone in zones), MANY)
        drawn += [draw(plan, zones, level, counts=counts, href=str) for level in ("above", "below")]
    styles = "".join((ROOT / "static/css" / name).read_text(encoding="utf-8") for name in STYLES)

    with browser.new_context(viewport={"width": 390, "height": 844}) as context:
        page = context.new_page()
        page.set_content(
            f"<!doctype html><style>{styles}</style><main style='padding:0 16px'>{''.join(drawn)}</main>"
        )
        assert page.evaluate(CLASHES) == {"clashes": [], "tires": 4}
