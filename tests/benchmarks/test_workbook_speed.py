"""Loading 50,000 purchase rows, against reading the same file with openpyxl alone.

Both run in the same session, one after the other; the ratio is what is stated.
"""

import datetime
import os
import resource
import subprocess
import sys
import time
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

ROOT = Path(__file__).resolve().parents[2]
ROWS = int(os.environ.get("ROWS", "50000"))
DAY = datetime.date(2020, 1, 1)


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    from production.workbook import paper
    from production.workbook.layout import sheet

    file = tmp_path_factory.mktemp("speed") / "purchases.xlsx"
    materials = [
        ["Sugar", "ingredient", *[None] * 18],
        ["Plums", "fruit", *[None] * 18],
    ]
    paper.write_book(
        file,
        [
            (sheet("suppliers"), iter([["Example Farm", *[None] * 5]])),
            (sheet("materials"), iter(materials)),
            (sheet("purchases"), purchases()),
        ],
    )
    return file


def purchases():
    for number in range(ROWS):
        on = DAY + datetime.timedelta(days=number % 2000)
        material = "Plums" if number % 3 else "Sugar"
        row = [None, "Example Farm", on, f"R{number // 5}", material, "2 x 12 lb"]
        yield [*row, None, Decimal("28.50"), *[None] * 8]


def test_fifty_thousand_rows(book, tmp_path):
    began = time.monotonic()
    pages = openpyxl.load_workbook(book, read_only=True)
    counted = sum(1 for page in pages for _ in page.iter_rows(values_only=True))
    alone = time.monotonic() - began
    assert counted > ROWS
    environment = {
        **os.environ,
        "DATA_DIR": str(tmp_path),
        "DATABASE_URL": "",
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    manage = [sys.executable, str(ROOT / "manage.py")]
    subprocess.run([*manage, "migrate", "-v", "0"], env=environment, check=True)  # noqa: S603
    began = time.monotonic()
    subprocess.run([*manage, "workbook", "load", book], env=environment, check=True)  # noqa: S603
    loading = time.monotonic() - began
    most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    sys.stdout.write(
        f"\n{ROWS} rows: openpyxl alone {alone:.1f} s, loading {loading:.1f} s,"
        f" ratio {loading / alone:.1f}, most memory {most:.0f} MB\n"
    )
