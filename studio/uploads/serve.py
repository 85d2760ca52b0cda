"""Handing a stored image to whoever may see it; the caller has checked that they may."""

from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.utils.cache import get_conditional_response, patch_cache_control
from django.utils.http import quote_etag

from .models import StoredImage


def image_response(request: HttpRequest, image: StoredImage, size: str) -> HttpResponseBase:
    """The picture, `full` or `small`, as a file that can be looked at and nothing else; 404 until
    it is ready."""
    if not image.is_ready or size not in ("full", "small"):
        raise Http404
    # Files are write-once, so the row's id says all about their content.
    etag = quote_etag(f"{image.pk}-{size}")
    response: HttpResponseBase | None = get_conditional_response(request, etag=etag)
    if response is None:
        name = image.full_file if size == "full" else image.small_file
        response = FileResponse(
            default_storage.open(name), filename="picture.jpg", content_type="image/jpeg"
        )
    response["ETag"] = etag
    response["X-Content-Type-Options"] = "nosniff"
    response["Content-Security-Policy"] = "sandbox; default-src 'none'"
    if not getattr(request.user, "is_student", False):
        # Asked again each time, so that the permission is too; a student's answer gets no-store.
        patch_cache_control(response, private=True, no_cache=True)
    return response
