"""Papers that expire."""

from django import forms

from inventory.models import Paper


class PaperForm(forms.ModelForm):
    class Meta:
        model = Paper
        fields = [
            "kind",
            "name",
            "number",
            "issued_by",
            "issued_on",
            "expires_on",
            "remind_days",
            "outlets",
            "file",
            "note",
            "is_put_aside",
        ]
        widgets = {
            "issued_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "expires_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "outlets": forms.CheckboxSelectMultiple,
            "note": forms.Textarea(attrs={"rows": 3}),
        }
