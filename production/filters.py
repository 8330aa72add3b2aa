"""Filters of the production lists."""

import django_filters
from django.utils.translation import gettext_lazy as _

from inventory.filters import OneOfFilter
from production.models import Batch, Recipe


class BatchFilter(django_filters.FilterSet):
    code = django_filters.CharFilter(lookup_expr="icontains", label=_("Batch code"))
    recipe = OneOfFilter(
        field_name="version__recipe", queryset=Recipe.objects.all(), label=_("Recipe")
    )

    class Meta:
        model = Batch
        fields = ["status", "recipe", "code"]
