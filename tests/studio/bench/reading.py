"""Pages of the bench, read as words."""

import re
from html import unescape
from typing import Any

from django.test import Client
from django.urls import reverse

from studio.people.models import User
from tests.cast import signed_in


def page(by: User, name: str, *of: object) -> str:
    answer = signed_in(by).get(reverse(name, args=of))
    assert answer.status_code == 200
    return words(answer.content.decode())


def words(html: str) -> str:
    text = unescape(re.sub(r"<[^>]*>", " ", html)).replace("\xa0", " ")
    return re.sub(r"\s+([.,;])", r"\1", re.sub(r"\s+", " ", text))


def post(by: User | Client, name: str, /, *of: object, **said: Any) -> Any:
    client = by if isinstance(by, Client) else signed_in(by)
    return client.post(reverse(name, args=of), said)
