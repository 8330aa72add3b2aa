"""Addresses of the recipes pages."""

from django.urls import URLPattern, path

from production.views import prediction, recipes

RECIPE = "kitchen/recipes/<slug:slug>/"

urlpatterns: list[URLPattern] = [
    path("kitchen/recipes/", recipes.recipe_list, name="recipe-list"),
    path("kitchen/recipes/add/", recipes.recipe_create, name="recipe-create"),
    path("kitchen/recipes/try/", prediction.recipe_try, name="recipe-try"),
    path(RECIPE, recipes.recipe_detail, name="recipe-detail"),
    path(
        f"{RECIPE}versions/<int:number>/",
        recipes.recipeversion_detail,
        name="recipeversion-detail",
    ),
    path(
        f"{RECIPE}prediction/", prediction.recipe_prediction, name="recipe-prediction"
    ),
    path(f"{RECIPE}write/", recipes.recipeversion_create, name="recipeversion-create"),
    path(f"{RECIPE}retire/", recipes.recipe_retire, name="recipe-retire"),
]
