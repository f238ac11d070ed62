"""Photos and files: handed in for a record, and shown again by their hash."""

from __future__ import annotations

import io
import uuid

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import path
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from pithline.errors import BadValue, Refused
from pithline.web.forms import leave, sent_identity, who
from pithline.yard.files import read_file
from pithline.yard.kinds import perform
from pithline.yard.models import Attachment, StoredFile
from pithline.yard.photos import MOST_BYTES, take_photo

__all__ = ["attached", "file", "hand_in", "small", "urlpatterns"]

_SHOWN = {"image/jpeg", "image/png", "image/webp", "application/pdf"}
_SMALL = 360  # [px]


def attached(subject: uuid.UUID) -> QuerySet[Attachment]:
    """Files of a record, for ``photos.html``."""
    return Attachment.objects.filter(subject=subject).select_related("file")


@require_safe
def file(request: HttpRequest, sha256: str) -> HttpResponse:
    """A file as it is kept."""
    found = _find(sha256)
    return _answer(read_file(found), found.media_type, sha256)


@require_safe
def small(request: HttpRequest, sha256: str) -> HttpResponse:
    """A photo made small for lists."""
    from PIL import Image

    found = _find(sha256)
    if not found.media_type.startswith("image/"):
        raise Http404("This file is no photo.")
    with Image.open(io.BytesIO(read_file(found))) as opened:
        opened.draft("RGB", (_SMALL * 2, _SMALL * 2))
        picture = opened.convert("RGB")
    picture.thumbnail((_SMALL, _SMALL))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=80)
    return _answer(out.getvalue(), "image/jpeg", sha256)


@require_POST
def hand_in(request: HttpRequest) -> HttpResponse:
    """Take a photo for a record."""
    back = request.POST.get("back", "/")
    back = back if url_has_allowed_host_and_scheme(back, allowed_hosts=None) else "/"
    sent = request.FILES.get("photo")
    try:
        if sent is None or sent.size is None:
            raise BadValue("photo", "missing", "given", "Choose a picture.")
        if sent.size > MOST_BYTES:
            raise BadValue("photo", f"{sent.size / 1e6:.1f} MB", f"at most {MOST_BYTES / 1e6:.0f} MB")
        stored = take_photo(sent.read())
        words = {"about": request.POST.get("about", ""), "file": stored.sha256}
        if caption := request.POST.get("caption", "").replace("\x00", "").strip():
            words["caption"] = caption
        perform("attach_photo", words, who=who(request), id=sent_identity(request))
    except Refused as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, "The photo is in the book.")
    return leave(request, back)


def _find(sha256: str) -> StoredFile:
    found = StoredFile.objects.filter(sha256=sha256).first()
    if found is None:
        raise Http404("There is no such file in the book.")
    return found


def _answer(data: bytes, media_type: str, sha256: str) -> HttpResponse:
    answer = HttpResponse(
        data, content_type=media_type if media_type in _SHOWN else "application/octet-stream"
    )
    way = "inline" if media_type in _SHOWN else "attachment"
    ending = media_type.rpartition("/")[2] if media_type in _SHOWN else "bin"
    answer["Content-Disposition"] = f'{way}; filename="{sha256[:12]}.{ending}"'
    answer["Cache-Control"] = "private, max-age=31536000, immutable"  # the address is the content's own hash
    return answer


urlpatterns = [
    path("", hand_in, name="hand-in"),
    path("<str:sha256>/", file, name="file"),
    path("<str:sha256>/small/", small, name="file-small"),
]
