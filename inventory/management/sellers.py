"""Commands whose figures and papers are written as the seller reads them."""

from typing import Any

from django.core.management.base import BaseCommand

from inventory.models import Business

__all__ = ["SellersCommand"]


class SellersCommand(BaseCommand):
    """A command that answers in the units and the locale of the business."""

    def execute(self, *args: Any, **options: Any) -> Any:
        """Read the seller's row once, and run in its units."""
        with Business.read_once():
            return super().execute(*args, **options)
