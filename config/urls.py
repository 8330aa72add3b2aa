"""Addresses of the pages."""

from django.contrib import admin
from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_not_required
from django.urls import include, path
from django.views.i18n import set_language

urlpatterns = [
    path("", include("production.urls")),
    path("", include("inventory.urls")),
    path("", include("labels.urls")),
    path("sign-in/", auth_views.LoginView.as_view(), name="login"),
    path("sign-out/", auth_views.LogoutView.as_view(), name="logout"),
    path("language/", login_not_required(set_language), name="set_language"),
    path("repairs/", admin.site.urls),
]
