"""Code letters of services."""

import pytest

from layoutest.drawing.services import code_of


@pytest.mark.parametrize(
    ("service", "code"),
    [
        ("HF", "HF"),
        ("hf", "HF"),
        ("HF2", "HF"),
        ("HWR", "HW"),
        ("CR", "CR"),
        ("OT", "OT"),
        ("steam", "OT"),
        ("H", "OT"),
        ("", "OT"),
    ],
)
def test_the_code_is_the_id_or_its_first_two_letters(service, code):
    assert code_of(service) == code
