import pytest
from django.test import Client

from tests.cast import School


@pytest.fixture
def client_of_nobody(client: Client, cast: School) -> Client:
    """Signed in with an account that belongs to no studio."""
    client.force_login(cast.nobody)
    return client
