"""Forms of recalls and drills."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.models import Outlet
from inventory.words import say
from production.forms.choosing import (
    address_of,
    any_lots,
    lot_field,
    recalled_lots,
)
from production.models import Recall
from production.recall_rules import AUTHORITY_CLASSES, NoticeWords
from production.recalls import DrillFigures

LEVELS = [
    ("A", _("A: every shop")),
    ("C", _("C: one in ten")),
    ("D", _("D: one in fifty")),
    ("E", _("E: none")),
]
AREA = forms.Textarea(attrs={"rows": 2})


class NoticeForm(forms.Form):
    why = forms.CharField(label=_("What is wrong"), max_length=400, widget=AREA)
    harm = forms.CharField(
        label=_("What may happen to somebody who eats it"), max_length=400, widget=AREA
    )
    what_to_do = forms.CharField(
        label=_("What a buyer does with the jar"), max_length=400, widget=AREA
    )
    contact = forms.CharField(label=_("Whom to call, and when"), max_length=200)
    level = forms.ChoiceField(
        choices=LEVELS,
        label=_("How many shops to check"),
        help_text=_("With a handful of shops, every one."),
    )

    def words(self) -> NoticeWords:
        data = {k: v for k, v in self.cleaned_data.items() if k != "level"}
        return NoticeWords(**data)


class CheckForm(forms.Form):
    how = forms.ChoiceField(
        label=_("Told by"),
        choices=[
            ("telephone", _("telephone")),
            ("letter", _("letter")),
            ("in person", _("in person")),
            ("e-mail", _("e-mail")),
        ],
    )
    answered = forms.BooleanField(required=False, label=_("They answered"))
    note = forms.CharField(required=False, max_length=160, label=_("Note"))


class TakeInForm(forms.Form):
    lot = lot_field(any_lots(), address_of("lot"), label=_("Jars of"))
    jars = forms.IntegerField(min_value=1, label=_("How many"))
    outlet = forms.ModelChoiceField(
        Outlet.objects.all(), required=False, empty_label=_("at home"), label=_("Where")
    )
    from_buyers = forms.BooleanField(
        required=False, label=_("Buyers brought them back (they were sold already)")
    )

    def __init__(self, *args: Any, recall: Recall, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stopped = recall.stop_sale_id
        lots, address = recalled_lots(stopped), address_of("lot", stop_sale=stopped)
        self.fields["lot"].offer(lots, address)  # type: ignore[attr-defined] # ours


class ClassForm(forms.Form):
    authority_class = forms.ChoiceField(
        label=_("Class the authority gave"),
        choices=[
            (name, f"{name}: {say(words)}") for name, words in AUTHORITY_CLASSES.items()
        ],
    )


class DrillForm(forms.Form):
    on_shelf = forms.IntegerField(min_value=0, label=_("Counted at home"))
    at_outlets = forms.IntegerField(
        min_value=0, label=_("At shops and stalls, asked for or counted"), initial=0
    )
    sold = forms.IntegerField(min_value=0, label=_("Sold"), initial=0)
    other = forms.IntegerField(
        min_value=0, label=_("Sampled, given away, written off, used again"), initial=0
    )
    lots_found = forms.IntegerField(
        min_value=0, label=_("Lots that went in, found in the records"), initial=0
    )
    outlets_reached = forms.IntegerField(
        min_value=0, label=_("Shops reached by telephone"), initial=0
    )

    def figures(self) -> DrillFigures:
        return DrillFigures(**self.cleaned_data)
