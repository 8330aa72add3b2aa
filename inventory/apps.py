from django.apps import AppConfig
from django.utils import translation

from inventory import words


class InventoryConfig(AppConfig):
    name = "inventory"

    def ready(self) -> None:
        """Let sentences and names follow the reader's language."""
        from inventory import naming  # noqa: PLC0415  models are ready only now

        naming.make_translatable()
        words.speak_through(
            words.Speaker(
                one=translation.gettext,
                many=translation.ngettext,
                language=lambda: translation.get_language() or "en",
            )
        )
