"""Forms of recalls and drills."""

from typing import Any

from django import forms

from inventory.models import Lot, Outlet
from production.models import Recall
from production.recall_rules import AUTHORITY_CLASSES, NoticeWords
from production.recalls import DrillFigures

LEVELS = [
    ("A", "A: every shop"),
    ("C", "C: one in ten"),
    ("D", "D: one in fifty"),
    ("E", "E: none"),
]
AREA = forms.Textarea(attrs={"rows": 2})


class NoticeForm(forms.Form):
    why = forms.CharField(label="What is wrong", max_length=400, widget=AREA)
    harm = forms.CharField(
        label="What may happen to somebody who eats it", max_length=400, widget=AREA
    )
    what_to_do = forms.CharField(
        label="What a buyer does with the jar", max_length=400, widget=AREA
    )
    contact = forms.CharField(label="Whom to call, and when", max_length=200)
    level = forms.ChoiceField(
        choices=LEVELS,
        label="How many shops to check",
        help_text="With a handful of shops, every one.",
    )

    def words(self) -> NoticeWords:
        data = {k: v for k, v in self.cleaned_data.items() if k != "level"}
        return NoticeWords(**data)


class CheckForm(forms.Form):
    how = forms.ChoiceField(
        label="Told by",
        choices=[
            ("telephone", "telephone"),
            ("letter", "letter"),
            ("in person", "in person"),
            ("e-mail", "e-mail"),
        ],
    )
    answered = forms.BooleanField(required=False, label="They answered")
    note = forms.CharField(required=False, max_length=160)


class TakeInForm(forms.Form):
    lot = forms.ModelChoiceField(Lot.objects.none(), empty_label=None, label="Jars of")
    jars = forms.IntegerField(min_value=1, label="How many")
    outlet = forms.ModelChoiceField(
        Outlet.objects.all(), required=False, empty_label="at home", label="Where"
    )
    from_buyers = forms.BooleanField(
        required=False, label="Buyers brought them back (they were sold already)"
    )

    def __init__(self, *args: Any, recall: Recall, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        lots = recall.stop_sale.lots.filter(product__isnull=False)
        self.fields["lot"].queryset = lots.select_related("product__jar_size")  # type: ignore[attr-defined] # it is a model choice


class ClassForm(forms.Form):
    authority_class = forms.ChoiceField(
        label="Class the authority gave",
        choices=[
            (name, f"{name}: {words}") for name, words in AUTHORITY_CLASSES.items()
        ],
    )


class DrillForm(forms.Form):
    on_shelf = forms.IntegerField(min_value=0, label="Counted at home")
    at_outlets = forms.IntegerField(
        min_value=0, label="At shops and stalls, asked for or counted", initial=0
    )
    sold = forms.IntegerField(min_value=0, label="Sold", initial=0)
    other = forms.IntegerField(
        min_value=0, label="Sampled, given away, written off, used again", initial=0
    )
    lots_found = forms.IntegerField(
        min_value=0, label="Lots that went in, found in the records", initial=0
    )
    outlets_reached = forms.IntegerField(
        min_value=0, label="Shops reached by telephone", initial=0
    )

    def figures(self) -> DrillFigures:
        return DrillFigures(**self.cleaned_data)
