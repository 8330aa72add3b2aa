"""What a person reads on every page and paper, and which units stand in it.

Pages and papers are asked of a told book in the book's own process, once for each
setting; `strange` then finds figures of the other setting's units.
"""

import json
import re
import textwrap
from html.parser import HTMLParser

from tests.browser import every_page

# Papers and files: what it is called here, to its address's name and its row.
PAPERS = {
    "batch sheet": ("production:batch-sheet", "[cooking.pk]"),
    "batch record": ("production:batch-record", "[batch.pk]"),
    "week's calendar": ("production:week-calendar", "[Plan.objects.latest('pk').pk]"),
    "sign at the market": ("production:recall-paper", "[Recall.objects.first().pk, 'sign']"),
    "post to buyers": ("production:recall-paper", "[Recall.objects.first().pk, 'post']"),
    "notice as text": ("production:recall-paper", "[Recall.objects.first().pk, 'text']"),
    "mock recall": ("production:drill-paper", "[MockRecall.objects.first().pk]"),
    "proof of a label": ("labels:proof", "[batch.code]"),
    "calibration page": ("labels:sheet-calibration", "[LabelSheet.objects.first().name]"),
    "season's progress": ("production:season-progress", "[]"),
    "preview of a label": ("labels:print-preview", "[batch.code]"),
}  # fmt: skip
# One page as another kind of paper, by its query.
AS_PAPER = {
    "trace": ("production-trace-batch", "?as=pdf"),
    "proof of a label": ("proof of a label", "?sheet=102x85mm-2x3-letter"),
}

# Runs in the book's own process after ``every_page.PROGRAM``, which leaves the
# addresses in ``told``; what both write is taken back.
ASK = """
import io
from django.test import Client

def words(answer):
    data = b"".join(answer) if answer.streaming else answer.content
    kind = answer["Content-Type"].partition(";")[0]
    if kind == "application/pdf":
        import pypdf
        pages = pypdf.PdfReader(io.BytesIO(data)).pages
        return [kind, "\\n".join(page.extract_text() for page in pages)]
    return [kind, data.decode()]

client = Client(headers={"host": "localhost"})
client.force_login(owner)
paths = told | {name: told[page] + query for name, (page, query) in AS_PAPER.items()}
shown = {}
for system in ("us", "metric"):
    Business.objects.update(units=system)
    shown[system] = {
        label: [answer.status_code, *words(answer)]
        for label, answer in ((label, client.get(path)) for label, path in paths.items())
    }
print("\\n" + json.dumps([shown, untold]))
transaction.set_rollback(True)
"""

HIDDEN = {"script", "style", "template", "textarea", "code", "pre"}
BLOCKS = {
    "p", "div", "section", "article", "li", "dt", "dd", "tr", "td", "th", "caption",
    "h1", "h2", "h3", "h4", "label", "button", "option", "summary", "details", "text",
    "title", "small", "legend", "figcaption", "a", "header", "footer", "nav", "desc",
    "br", "input", "select", "fieldset", "table", "main", "dl", "ul", "ol", "form",
}  # fmt: skip
SAID = {"aria-label", "title", "placeholder", "alt"}


class _Reader(HTMLParser):
    """Collects what is read of a page, one line a block."""

    def __init__(self):
        super().__init__()
        self.lines, self.hidden = [""], 0

    def handle_starttag(self, tag, attrs):
        if tag in HIDDEN:
            self.hidden += 1
        if tag in BLOCKS:
            self.lines.append("")
        self.lines[-1:] = [
            *(value for name, value in attrs if name in SAID and value),
            self.lines[-1],
        ]

    def handle_endtag(self, tag):
        if tag in HIDDEN:
            self.hidden -= 1
        if tag in BLOCKS:
            self.lines.append("")

    def handle_data(self, data):
        if not self.hidden:
            self.lines[-1] += data


def lines_of(kind, text):
    """The lines a person reads of a page or a paper."""
    if kind == "text/html":
        reader = _Reader()
        reader.feed(text)
        text = "\n".join(" ".join(line.split()) for line in reader.lines)
    elif kind == "application/pdf":
        text = text.replace("\n(", " (")  # a bracket wrapped in a narrow column
    return [line.strip() for line in text.splitlines() if line.strip()]


_NUMBER = r"(?<![:\d])(?:[\d.,]*\d|[¼½¾⅓⅔⅛])[ \u00a0]?"
_END = r"(?![\w²])"
US_ONLY = re.compile(
    rf"{_NUMBER}(?:°F|F|lbs?|oz|fl oz|ft|feet|qt|quarts?|mi|miles?|sq in|inch(?:es)?|"
    rf"pounds?|ounces?|oz/cup){_END}"
    rf"|{_NUMBER}in(?=$|[.,;:)/]| [(×x])"
    r"|(?<!\d)\((?:°F|lb|oz|ft|in|qt|mi|fl oz|oz/cup|a lb|a mi)\)"
    r"|\ba (?:lb|pound|mile)\b|\bfahrenheit\b|\bfeet\b|^(?:lb|oz|ft|in)$"
)
METRIC_ONLY = re.compile(
    rf"{_NUMBER}(?:°C|C|g|kg|ml|l|mm|cm|cm²|km|m|g/ml|grams?|kilograms?|millilitres?|"
    rf"litres?|metres?){_END}"
    r"|(?<!\d)\((?:°C|g|kg|ml|l|mm|m|km|cm²|g/ml|a kg|a km)\)"
    r"|\b(?:mm|km|ml|kg)(?= \()"
    r"|\ba (?:kg|kilogram|km|kilometre)\b|\bcelsius\b|\b(?:kilo)?grams?\b"
    r"|\bmillilitres?\b|\bkilometres?\b|^(?:kg|g|mm|ml|l)$"
)

# What keeps its units whatever the setting, and why.
KEPT = {
    "both scales, where heat can hurt": (
        r"[−-]?[\d.,]+ °F \([−-]?[\d.,]+ °C\)|[−-]?[\d.,]+ °C \([−-]?[\d.,]+ °F\)"
    ),
    "a declared net weight, by law in both": r"[\d.]+ oz\.? \(\d+ g\)",
    "how a declared net weight is rounded, by law": (
        r"Net quantity .*28\.3495.*|[\d.]+ g rounded down to quarter ounces, .*"
    ),
    "the law's own words on net weight": r"in ounces and grams",
    "a claim of so much per 100 g, as the law words it": r".* g per 100 g.*",
    "a paragraph of a law": r"\d+ (?:CFR|USC) [\d.()a-z, ]+",
    "what a point is": r"72 pt are one inch, 25\.4 mm",
    "a definition, cited": r"1 US cup = [\d.]+ ml, NIST SP 811.*",
    "names of the demonstration's jars and lids": r"Lid, 70 mm|\b(?:4|8|12) oz\b(?! \d)",
    "a label sheet's name": r"\b(?:round-)?[\dx]+mm-\dx\d-\w+",
    "pack sizes as the supplier's list writes them": (
        r"\d+ × \d+ (?:lb|kg|l|g)\b|^\d+ lb$|\(\d+ lb\)|^1000 l from .*"
    ),
    "a sum of what fills a jar, in the units its sources tell densities in": (
        r"\([\d.]+ ml − .* °C"
    ),
}
ON_PAGES = {
    # A cook's own words in a recipe, and what is weighed to a tenth of a gram.
    "us": {
        "recipe as written": (
            {"production-recipe-detail", "production-recipeversion-detail",
             "production-recipeversion-create", "production-batch-detail-planned",
             "batch sheet"},
            r"^[\d.]+ (?:kg|l|g|ml)\b",
        ),
        "the label itself": ({"proof of a label"}, r"^\(\d+ g\)$"),
        "jars on the scale": ({"production-jar-weights"}, r".*"),
        "the page of components": ({"inventory-style"}, r"9\.8 × 28\.3495 = .*"),
    },
    "metric": {
        "the label itself": ({"proof of a label"}, r"^Net Wt [\d.]+ oz$"),
    },
}  # fmt: skip
SMALL_WEIGHT = re.compile(r"(?<![\d.,])[−-]?[0-7](?:\.\d)? g\b")


def strange(line, system, page=""):
    """The figures of the other setting's units in a line, as written.

    Args:
        line: as read.
        system: "us" or "metric".
        page: what the page is called, for what only some pages keep.
    """
    for words in KEPT.values():
        line = re.sub(words, "", line)
    for pages, words in ON_PAGES[system].values():
        if page in pages:
            line = re.sub(words, "", line)
    if system == "metric":
        return US_ONLY.findall(line)
    return METRIC_ONLY.findall(SMALL_WEIGHT.sub("", line))


def shown(book):
    """Every page and paper of a book at both settings; the book stays as it was.

    Returns:
        The setting, to what a page is called, to its status, kind and text.

    Raises:
        AssertionError: the book lacks a row for a page.
    """
    rows = {label: (name, row) for label, name, row in every_page.pages()} | PAPERS
    steps = every_page.PROGRAM.format(rows=rows) + ASK
    program = (
        f"from django.db import transaction\nAS_PAPER = {AS_PAPER!r}\n"
        f"with transaction.atomic():\n{textwrap.indent(steps, '    ')}"
    )
    answer = book.run("shell", "--verbosity", "0", "-c", program).stdout
    told, untold = json.loads(answer.strip().splitlines()[-1])
    assert untold == [], untold
    return told
