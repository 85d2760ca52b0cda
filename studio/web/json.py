"""JSON as the API reads it: of bounded size, in which nothing is nested beyond reason."""

import json
from collections.abc import Mapping
from typing import IO, Any

from django.utils.translation import gettext_lazy as _
from rest_framework import status
from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import JSONParser

MOST_BYTES = 256 * 1024
"""A plan's two profiles of 400 points with every digit of a double fit four times over."""


class TooLarge(APIException):
    status_code = status.HTTP_413_REQUEST_ENTITY_TOO_LARGE
    default_detail = _("The request is too large. Send at most 256 kB of JSON.")


class BoundedJSONParser(JSONParser):
    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        body = stream.read(MOST_BYTES + 1)
        if len(body) > MOST_BYTES:
            raise TooLarge
        try:
            said = json.loads(body, parse_constant=_not_json)
            # Half of a surrogate pair is no character: neither database nor answer takes it.
            json.dumps(said, ensure_ascii=False).encode()
        except UnicodeEncodeError:
            raise ParseError(_("A character in this is cut in two. Send plain UTF-8.")) from None
        except (ValueError, RecursionError):
            raise ParseError(_("This can't be read as JSON. Check the brackets.")) from None
        return said


def _not_json(word: str) -> float:
    raise ValueError(word)
