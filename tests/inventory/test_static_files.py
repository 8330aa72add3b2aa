"""What a browser loads comes compressed, and hashed files are kept for good."""

import gzip
import re
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request

import pytest

from tests.books import ROOT, environment_of, new_book


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A book as ``make serve`` serves it; its address."""
    book = new_book(tmp_path_factory.mktemp("served"))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(  # noqa: S603  our own command
        [sys.executable, str(ROOT / "manage.py"), "serve", "--port", str(port)],
        env=environment_of(book),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    address = f"http://127.0.0.1:{port}"
    try:
        for _ in range(120):
            try:
                get(f"{address}/begin/")
                break
            except urllib.error.URLError:
                time.sleep(0.5)
        yield address
    finally:
        server.terminate()
        server.wait()


def get(address, encoding="gzip"):
    request = urllib.request.Request(  # noqa: S310  our own server
        address, headers={"Accept-Encoding": encoding}
    )
    return urllib.request.urlopen(request, timeout=20)  # noqa: S310


def test_pages_and_their_files_come_compressed_and_stay(served):
    page = get(f"{served}/begin/")
    assert page.headers["Content-Encoding"] == "gzip"
    html = gzip.decompress(page.read()).decode()
    files = re.findall(r'(?:href|src)="(/static/[^"]+\.(?:css|js))"', html)
    assert len(files) >= 5
    for name in files:
        answer = get(served + name)
        assert answer.headers["Content-Encoding"] == "gzip", name
        assert "immutable" in answer.headers["Cache-Control"], name


def test_the_same_page_never_has_the_same_length(served):
    lengths = {len(get(f"{served}/begin/").read()) for _ in range(12)}
    assert len(lengths) > 1


def test_without_compression_the_page_comes_as_it_is(served):
    page = get(f"{served}/begin/", encoding="identity")
    assert page.headers["Content-Encoding"] is None
    assert b"<html" in page.read()


def test_a_file_that_was_not_collected_keeps_its_name(client):
    from django.templatetags.static import static

    assert static("site/site.css") == "/static/site/site.css"
    answer = client.get("/static/site/site.css")
    assert b"".join(answer).startswith(b"/*")
