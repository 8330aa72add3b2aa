"""The reader of a page and their role: one query, and never more than they may."""

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.roles import RoleBackend, is_owner, make_helper
from tests import factories

pytestmark = pytest.mark.django_db


def test_session_reader_role_and_business_are_three_queries(owner_client):
    with CaptureQueriesContext(connection) as asked:
        owner_client.get(reverse("inventory:glossary"))
    assert len(asked) == 3


def test_the_role_comes_with_the_reader(django_assert_num_queries):
    owner, helper = factories.make_owner(), factories.make_helper()
    with django_assert_num_queries(2):
        assert is_owner(RoleBackend().get_user(owner.pk))
        assert not is_owner(RoleBackend().get_user(helper.pk))


def test_whoever_becomes_a_helper_is_one_from_the_next_page_on(owner):
    owner.is_superuser = False
    owner.save()
    client = Client()
    client.force_login(owner)
    address = reverse("inventory:style")
    assert client.get(address).status_code == 200
    make_helper(User.objects.get(pk=owner.pk))
    assert client.get(address).status_code == 403


def test_a_closed_account_is_signed_out(owner, owner_client):
    User.objects.filter(pk=owner.pk).update(is_active=False)
    assert owner_client.get(reverse("inventory:pantry")).status_code == 302


def test_nobody_is_found_for_a_number_nobody_has():
    assert RoleBackend().get_user(987_654) is None
