"""A real browser: Debian's Chromium, driven against pages served by the test."""

import os
import shutil

import pytest

# Playwright keeps an event loop running in this thread; without this Django refuses
# every query. Only the browser tests run with it.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or ""
WIDTHS = {"phone": (390, 844), "tablet": (820, 1180), "desktop": (1280, 900)}


def pytest_collection_modifyitems(config, items):
    here = os.path.dirname(__file__)
    for item in items:
        if not str(item.path).startswith(here):
            continue
        item.add_marker(pytest.mark.browser)
        if not CHROMIUM:
            if os.environ.get("CI"):
                pytest.exit("no chromium: install it, CI drives a real browser", 2)
            item.add_marker(pytest.mark.skip(reason="no chromium on this machine"))


@pytest.fixture(scope="session")
def browser_type_launch_args():
    return {
        "executable_path": CHROMIUM,
        "args": ["--disable-gpu", "--disable-quic"],
    }


@pytest.fixture(scope="session")
def base_url(live_server):
    return live_server.url


@pytest.fixture(params=WIDTHS, ids=list(WIDTHS))
def any_width(request, page):
    """A page at each of the three widths the program is looked at in."""
    width, height = WIDTHS[request.param]
    page.set_viewport_size({"width": width, "height": height})
    return page


@pytest.fixture
def signed_in(page, owner, client):
    """The page with the owner signed in."""
    return sign_in(page, owner, client)


def sign_in(page, user, client):
    """Give the browser the session of a user."""
    from django.conf import settings

    client.force_login(user)
    page.context.add_cookies(
        [
            {
                "name": settings.SESSION_COOKIE_NAME,
                "value": client.cookies[settings.SESSION_COOKIE_NAME].value,
                "domain": "localhost",
                "path": "/",
            }
        ]
    )
    return page
