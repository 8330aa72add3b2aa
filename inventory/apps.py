from django.apps import AppConfig
from django.utils import translation

from inventory import words


class InventoryConfig(AppConfig):
    name = "inventory"

    def ready(self) -> None:
        """Let the sentences of the pure rooms follow the reader's language."""
        words.speak_through(
            words.Speaker(
                one=translation.gettext,
                many=translation.ngettext,
                language=lambda: translation.get_language() or "en",
            )
        )
