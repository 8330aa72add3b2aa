"""Takes the README's pictures from the demonstration, in a real browser.

Run by ``make pictures``; it opens the demonstration's own book on a free port.
"""

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "fixtures" / "pictures"
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
PASSWORD = "quince-and-pip"  # the demonstration's own
SIZE = {"width": 1280, "height": 900}


def main():
    FOLDER.mkdir(exist_ok=True)
    run("demo", "--no-serve")
    code, product = newest_batch()
    port = free_port()
    server = subprocess.Popen(  # noqa: S603
        [sys.executable, "manage.py", "serve", "--port", str(port)], cwd=ROOT
    )
    try:
        wait_for(port)
        take(f"http://127.0.0.1:{port}", code, product)
    finally:
        server.terminate()
    take_labels(code)


def run(*words):
    subprocess.run(  # noqa: S603
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        check=True,
        stdout=subprocess.DEVNULL,
    )


def newest_batch():
    script = (
        "from production.models import Batch;"
        "b=Batch.objects.filter(status='released',product__isnull=False)"
        ".order_by('-made_on','-pk').first();print(b.code,b.product.code)"
    )
    answer = subprocess.run(  # noqa: S603
        [sys.executable, "manage.py", "shell", "-v", "0", "-c", script],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return answer.stdout.split()


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_for(port):
    for _ in range(100):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in/", timeout=2)
        except (urllib.error.URLError, OSError):
            time.sleep(0.3)
        else:
            return
    raise RuntimeError("the demonstration did not answer")


def take(address, code, product):
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--disable-gpu", "--disable-quic"]
        )
        page = browser.new_page(viewport=SIZE)
        page.goto(f"{address}/sign-in/")
        page.get_by_label("Username").fill("owner")
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Open the book").click()
        for name, path in (
            ("week", "/week/"),
            ("cost", f"/books/jars/{product}/"),
            ("trace", f"/complaints/trace/batch/{code}/"),
        ):
            page.goto(f"{address}{path}")
            page.screenshot(path=FOLDER / f"{name}.png")
        browser.close()


def take_labels(code):
    import pypdfium2

    paper = FOLDER / "labels.pdf"
    run(
        "print_labels", code, "--sheet", "102x85mm-2x3-letter", "--out", str(paper),
        "--outlines", "--reason", "a picture for the README",
    )  # fmt: skip
    document = pypdfium2.PdfDocument(paper)
    picture = document[0].render(scale=1.5).to_pil()
    picture.crop((0, 0, picture.width, picture.height * 2 // 3)).save(
        FOLDER / "labels.png"
    )
    document.close()
    paper.unlink()


if __name__ == "__main__":
    main()
