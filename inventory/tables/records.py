"""Papers that expire."""

from typing import Any

import django_tables2 as tables
from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext_lazy as _

from inventory.models import Paper
from inventory.tables.columns import DayColumn
from inventory.words import say

CLASSES = {"lapsed": "bad", "to renew": "warn", "good": "good"}


class PaperTable(tables.Table):
    name = tables.Column(linkify=True)
    kind = tables.Column()
    expires_on = DayColumn(verbose_name=_("Runs out on"))
    standing = tables.Column(
        empty_values=(), orderable=False, verbose_name=_("standing")
    )

    class Meta:
        model = Paper
        fields = ("name", "kind", "number", "expires_on", "standing")
        caption = _("Papers, the first to run out on top")
        empty_text = _("No papers yet: add your registration, training and insurance.")

    def render_standing(self, record: Paper) -> Any:
        standing = record.standing(on=timezone.localdate())
        return format_html(
            '<span class="status {}">{}</span>', CLASSES[standing], say(standing)
        )
