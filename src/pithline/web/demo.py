"""A demo book opened beside the user's own, from a button on the empty front page."""

from __future__ import annotations

import subprocess
import sys
import threading
import time

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_POST

from pithline.web.door import near
from pithline.web.serving import pithline_at
from pithline.web.site import PORT

__all__ = ["look_round"]

_PORT = PORT + 1
_PATIENCE = 60  # [s] until the demo must answer; its plan is reckoned anew
_starting = threading.Lock()
_begun: list[subprocess.Popen[bytes]] = []


@require_POST
def look_round(request: HttpRequest) -> HttpResponse:
    """Start the demo book where it does not run yet, and show the way there.

    A link and not a redirect: a form of ours may lead to no other origin.
    """
    if not near(request):
        messages.error(request, "The demo book opens only on the machine that keeps this book.")
    elif not _runs():
        messages.error(request, "The demo book did not start. In a terminal: pithline serve --demo")
    else:
        return render(request, "demo.html", {"address": f"http://127.0.0.1:{_PORT}/"})
    answer = HttpResponseRedirect("/")
    answer.status_code = 303
    return answer


def _runs() -> bool:
    with _starting:
        if pithline_at(_PORT):
            return True
        words = [sys.executable, "-m", "pithline", "serve", "--demo", "--no-browser", "--until-eof"]
        # It ends with us, however we end: the system closes our end of this pipe.
        begun = subprocess.Popen(words, stdin=subprocess.PIPE)
        _begun.append(begun)
        end = time.monotonic() + _PATIENCE
        while time.monotonic() < end and begun.poll() is None:
            if pithline_at(_PORT):
                return True
            time.sleep(0.2)
        return False
