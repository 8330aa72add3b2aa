#!/usr/bin/env python
"""The command line of Setting Point."""

import os
import sys


def main() -> None:
    """Run one management command."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    if sys.argv[1:2] == ["demo"]:
        # The invented business keeps a book of its own, apart from real records.
        os.environ.setdefault("BOOK", "demo")
    from django.core.management import execute_from_command_line  # noqa: PLC0415

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
