import pytest

from app.core.consistency.findings import Finding
from app.core.wording.consistency import CODES, finding_text, offer_text
from tests.core.consistency.scenes import ASKS


@pytest.mark.parametrize("code", [*sorted(CODES), "milestone-not-risen", "milestone-pair"])
def test_each_finding_has_its_sentence_and_its_offer(code: str) -> None:
    finding = Finding(code, ASKS, "a", "b")
    for text in (finding_text(finding, "Cover", "Gasket"), offer_text(finding, "Cover", "Gasket")):
        assert text.endswith((".", "?"))
        assert "{" not in text
