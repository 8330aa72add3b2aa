"""Files that were checked and wait to be loaded: kept under a name nobody guesses."""

import datetime
import re
import secrets
from collections.abc import Iterable
from pathlib import Path

from django.conf import settings

__all__ = ["keep", "kept_file", "place", "sweep"]

TOKEN = re.compile(r"^[A-Za-z0-9_-]{20,60}$")
KEPT_FOR = datetime.timedelta(days=1)


def _folder() -> Path:
    folder = Path(settings.DATA_DIR) / "incoming"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def keep(chunks: Iterable[bytes], *, at: datetime.datetime) -> str:
    """Keep an uploaded file until it is loaded.

    Returns:
        The token it can be found by.
    """
    sweep(at=at)
    token = secrets.token_urlsafe(24)
    with (_folder() / token).open("wb") as file:
        for chunk in chunks:
            file.write(chunk)
    return token


def kept_file(token: str) -> Path | None:
    """The kept file of a token; None when it is gone."""
    if not TOKEN.match(token):
        return None
    path = _folder() / token
    return path if path.exists() else None


def sweep(*, at: datetime.datetime) -> None:
    """Delete kept files nobody came back for."""
    oldest = (at - KEPT_FOR).timestamp()
    for path in _folder().iterdir():
        if path.stat().st_mtime < oldest:
            path.unlink(missing_ok=True)


def place(name: str) -> Path:
    """Where a file of ours may be made before it is handed over."""
    return _folder() / name
