import hypothesis
import pytest
from django.conf import settings
from django.test import Client
from django.utils import translation

from tests import factories, guards

hypothesis.settings.register_profile("house", deadline=None)
hypothesis.settings.load_profile("house")


@pytest.fixture(autouse=True, scope="session")
def _flush_past_the_guards():
    """Tests that commit are emptied afterwards; the ledger's guards step aside."""
    with pytest.MonkeyPatch.context() as patch:
        guards.let_flushing_pass(patch)
        yield


@pytest.fixture(autouse=True)
def _in_english():
    """Each test begins in English, whatever language the one before ended in."""
    translation.activate(settings.LANGUAGE_CODE)


@pytest.fixture
def owner(db):
    factories.make_business()
    return factories.make_owner()


@pytest.fixture
def helper(db):
    factories.make_business()
    return factories.make_helper()


@pytest.fixture
def owner_client(owner):
    client = Client()
    client.force_login(owner)
    return client


@pytest.fixture
def helper_client(helper):
    client = Client()
    client.force_login(helper)
    return client


@pytest.fixture(scope="session")
def told_book(tmp_path_factory):
    """The demonstration as the command tells it; shared, so only read it."""
    from tests.books import told_book as tell

    return tell(tmp_path_factory)
