"""The service as a WSGI application."""

import os
import re
from collections.abc import Iterable
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.config.settings")

_CHARSET = re.compile(r';\s*charset\s*=\s*("[^"]*"|[^;]*)', re.IGNORECASE)


def forms_as_utf_8(service: WSGIApplication) -> WSGIApplication:
    """Forms and queries are UTF-8 (URL standard, urlencoded parsing), whatever they say they are.

    Another charset that Python knows, such as base64, breaks a request before the first
    middleware could answer it.
    """

    def application(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        kind = _CHARSET.sub("", environ.get("CONTENT_TYPE", ""))
        return service(environ | {"CONTENT_TYPE": kind}, start_response)

    return application


application = forms_as_utf_8(get_wsgi_application())
