"""The short "why" beside a computed figure: its sum with the page's numbers.

``{% why of="what a jar costs" source="..." %}a - b = c{% endwhy %}`` is a disclosure
of the browser's own, so it works without scripts and by keyboard. The numbers come
from the calculation's result; nothing is computed in a template.
"""

from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

register = template.Library()


@register.simple_block_tag(end_name="endwhy")
def why(content: SafeString, *, of: Any = "", source: Any = "") -> SafeString:
    """A disclosure with a sum and its source; "common practice" where none is named.

    Args:
        content: the sum, with its numbers.
        of: the figure it explains, read aloud after the word "Why".
        source: where the sum comes from.
    """
    named = format_html('<span class="unseen">: {}</span>', of) if of else ""
    return format_html(
        '<details class="why"><summary>{}{}</summary><div class="sum">{}</div>'
        '<p class="source">{}</p></details>',
        _("Why"),
        named,
        content,
        source or _("common practice"),
    )
