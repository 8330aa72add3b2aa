"""What a reader of a page never sees, and what would break it."""

import re
from pathlib import Path

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
INCLUDE = re.compile(r'{% include "([^"]+)"([^%]*)%}')
WITHOUT_ADDRESS = re.compile(r"\s(?:style|onclick|onchange|onsubmit)=")


def texts():
    for path in sorted(TEMPLATES.rglob("*.html")):
        yield path.relative_to(TEMPLATES).as_posix(), path.read_text(encoding="utf-8")


def test_a_part_with_a_form_keeps_its_token():
    """``only`` would leave the token behind, and the form would be refused."""
    with_token = {name for name, text in texts() if "{% csrf_token %}" in text}
    wrong = [
        f"{name}: {part}"
        for name, text in texts()
        for part, rest in INCLUDE.findall(text)
        if part in with_token and rest.rstrip().endswith(" only")
    ]
    assert wrong == []


def test_no_template_breaks_the_content_policy():
    wrong = [name for name, text in texts() if WITHOUT_ADDRESS.search(text)]
    inline = [name for name, text in texts() if re.search(r"<script>|<style>", text)]
    assert wrong == inline == []
