from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser
from django.core.wsgi import get_wsgi_application

PAPERS_ONLY = ["*.ttf", "*.toml"]
"""What stands beside the style sheets and no page asks for."""


class Command(BaseCommand):
    help = "Serve the pages of this book on this machine."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *_args: Any, **options: Any) -> None:
        import waitress  # type: ignore[import-untyped] # noqa: PLC0415  only served

        call_command(
            "collectstatic",
            interactive=False,
            verbosity=0,
            ignore_patterns=PAPERS_ONLY,
        )
        address = f"http://{options['host']}:{options['port']}/"
        self.stdout.write(f"The book is open at {address} (stop with Ctrl-C).")
        self.stdout.flush()
        waitress.serve(
            get_wsgi_application(),
            host=options["host"],
            port=options["port"],
            threads=4,
            ident=None,
        )
