"""The batch code in what a scanner reads."""

import pytest

from production.scans import code_in_scan


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("26196AM", "26196AM"),
        (" 26-196-am ", "26-196-am"),
        ("https://jam.example/t/26196AM", "26196AM"),
        ("https://jam.example/t/26196AM/", "26196AM"),
        ("https://id.gs1.org/01/09521234543213/10/26196AM", "26196AM"),
        ("(01)09521234543213(10)26196AM", "26196AM"),
        ("]Q301095212345432131026196AM", "26196AM"),
        ("]Q3nonsense", "]Q3nonsense"),
        ("(01)09521234543213", "(01)09521234543213"),
        ("", ""),
    ],
)
def test_every_form_leads_to_the_code(text, code):
    assert code_in_scan(text) == code


def test_an_address_without_a_code_is_left_as_it_is():
    assert code_in_scan("https://jam.example") == "https://jam.example"
