"""Style sheets, scripts and fonts as they are served: compressed, and kept for good.

``manage.py serve`` collects them into the seller's folder under names that hold a hash
of what is in them, with a compressed copy beside each. A phone then fetches each once
and never asks again until it changes. Where nothing was collected (tests, commands)
the files are served from the apps under their own names.
"""

from pathlib import Path
from typing import Any

from django.http import HttpRequest, HttpResponseBase
from django.middleware.gzip import GZipMiddleware
from whitenoise.middleware import WhiteNoiseMiddleware
from whitenoise.storage import CompressedManifestStaticFilesStorage

__all__ = ["CollectedFiles", "CompressPages", "ServeFiles"]

TEXT = ("text/", "application/json", "image/svg+xml")


class CollectedFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]
    """Names of collected files; a file that was not collected keeps its own."""

    def stored_name(self, name: str) -> str:
        """The name with the hash, where there is one."""
        known: str | None = self.hashed_files.get(self.hash_key(self.clean_name(name)))
        return known or name


class ServeFiles(WhiteNoiseMiddleware):  # type: ignore[misc]
    """Serves the collected files, where there are any."""

    def add_files(self, root: Any, prefix: str | None = None) -> None:
        """Take in a folder, unless nothing was collected into it yet."""
        if Path(root).is_dir():
            super().add_files(root, prefix)


class CompressPages(GZipMiddleware):
    """Compresses pages and data; papers and pictures are compressed already.

    A page compressed together with something a stranger can put into it may betray
    its secrets by its length (BREACH). Here the secret of a form is masked anew in
    every answer, Django adds up to a hundred random bytes to what is compressed, and
    the session's cookie does not go with what other sites ask for (SameSite=Lax).
    """

    def process_response(
        self, request: HttpRequest, response: HttpResponseBase
    ) -> HttpResponseBase:
        """Compress text."""
        if not response.get("Content-Type", "").startswith(TEXT):
            return response
        answer: HttpResponseBase = super().process_response(request, response)
        return answer
