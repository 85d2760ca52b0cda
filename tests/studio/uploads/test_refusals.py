"""Every refusal says what to do."""

import pytest

from studio.uploads.refusals import CODES, sentence


@pytest.mark.parametrize("code", sorted(CODES))
def test_every_code_has_a_sentence_that_says_what_to_do(code: str) -> None:
    said = sentence(code, {"pages": 3})
    assert said.endswith(".")
    assert "%" not in said
    assert any(word in said for word in ("Send", "send", "Choose", "Save"))


def test_limits_and_pages_are_named() -> None:
    assert "40 MB" in sentence("too_large", {})
    assert "60 megapixels" in sentence("too_many_pixels", {})
    assert sentence("pdf_pages", {"pages": 12}).startswith("This PDF has 12 pages")
