"""Serving one book: its place on the network, the server, and a decent end."""

from __future__ import annotations

import contextlib
import errno
import http.client
import json
import os
import signal
import socket
import threading
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from pithline.errors import BadValue

__all__ = ["address", "holder", "listen", "names_of_this_machine", "pithline_at", "serve"]

_HEADSTART = 2  # [s] for the first page, before the planner is compiled in the background
_GRACE = 5  # [s] for answers under way when the server is told to stop


def listen(host: str, port: int) -> socket.socket:
    """Take a place on the network before anything else is done, so that two starts cannot both win.

    Parameters
    ----------
    host : str
        Address of this machine: ``127.0.0.1`` for this machine only.
    port : int
        0 lets the system choose.

    Raises
    ------
    BadValue
        The port is held (and by whom, where the system tells), or the address is not this machine's.
    """
    kind = socket.AF_INET6 if ":" in host else socket.AF_INET
    place = socket.socket(kind, socket.SOCK_STREAM)
    if os.name != "nt":  # there it would let two programs share the port
        place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        place.bind((host, port))
        place.listen(128)
    except OSError as problem:
        place.close()
        if problem.errno == errno.EADDRINUSE:
            remedy = f"It is held by {holder(port)}. Stop that, or say --port {port + 10} for this time."
            raise BadValue("port", port, "free", remedy) from None
        if problem.errno == errno.EACCES:
            raise BadValue("port", port, "one that you may open", f"Say --port {8000 + port}.") from None
        raise BadValue("--host", host, "an address of this machine", "Say 0.0.0.0 for all of them.") from None
    return place


def address(place: socket.socket) -> str:
    """Where a browser on this machine finds it."""
    host, port = place.getsockname()[:2]
    if host in ("0.0.0.0", "::"):
        host = "127.0.0.1"
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def holder(port: int) -> str:
    """Who listens on a port of this machine, in words for a person."""
    us = pithline_at(port)
    pid, command = _process_at(port)
    process = f" (process {pid}: {command})" if pid else ""
    if us:
        return f"Pithline {us}, which serves a book at http://127.0.0.1:{port}/{process}"
    return f"another program{process}"


def names_of_this_machine() -> list[str]:
    """Names and addresses under which others on the network may reach this machine."""
    name = socket.gethostname()
    found = {name.lower(), f"{name.lower()}.local"}
    with contextlib.suppress(OSError):  # a machine that cannot look up its own name is reached by address
        found.update(str(info[4][0]) for info in socket.getaddrinfo(name, None))
    # Connecting a datagram socket sends nothing; it asks the system which address it would use.
    for kind, far in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        try:
            with socket.socket(kind, socket.SOCK_DGRAM) as probe:
                probe.connect((far, 9))
                found.add(str(probe.getsockname()[0]))
        except OSError:
            continue
    return sorted(f"[{n}]" if ":" in n else n for n in found)


def serve(
    place: socket.socket, ready: Callable[[], None] = lambda: None, until: BinaryIO | None = None
) -> None:
    """Answer requests until told to stop; what is under way is finished first.

    Parameters
    ----------
    place : socket
        From `listen`; Django is configured already.
    ready : callable
        Called once, when a request would be answered.
    until : binary file, optional
        Its end is a word to stop too: it comes when whoever started us is gone.
    """
    import uvicorn
    from django.core.asgi import get_asgi_application

    from pithline.web.plan.warming import warm
    from pithline.yard.jobs import interrupted

    class Server(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            ready()
            # After the first page, which it would hold up.
            later = threading.Timer(_HEADSTART, warm)
            later.daemon = True
            later.start()

    # Files are handed over in one piece; each is small, and none is worth a warning.
    warnings.filterwarnings("ignore", message="StreamingHttpResponse must consume synchronous iterators")
    interrupted()  # long work that the last server did not end
    server = Server(
        uvicorn.Config(
            get_asgi_application(),
            lifespan="off",
            log_level="warning",
            access_log=False,
            server_header=False,
            proxy_headers=False,  # a forwarded address is a claim; who is near is decided by the socket
            timeout_graceful_shutdown=_GRACE,
        )
    )

    def watch() -> None:
        while until and until.read(1024):
            pass
        server.should_exit = True

    if until:
        threading.Thread(target=watch, daemon=True).start()
    # The server hands a signal on when it has stopped: here it has done its work by then.
    kept = {}
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            kept[name] = signal.signal(getattr(signal, name), server.handle_exit)
    try:
        server.run(sockets=[place])
    finally:
        for name, before in kept.items():
            signal.signal(getattr(signal, name), before)


def pithline_at(port: int) -> str | None:
    """Version of the Pithline that answers there, if one does."""
    asked = http.client.HTTPConnection("127.0.0.1", port, timeout=3)
    try:
        asked.request("GET", "/api/about")
        said = json.loads(asked.getresponse().read(2000))
        return str(said["version"]) if said["program"] == "pithline" else None
    except (OSError, http.client.HTTPException, ValueError, KeyError, TypeError):
        return None
    finally:
        asked.close()


def _process_at(port: int) -> tuple[int | None, str]:
    """Process and command line, where Linux tells us; other systems ask for more rights than we want."""
    inodes = set()
    for table in ("/proc/net/tcp", "/proc/net/tcp6"):
        try:
            lines = Path(table).read_text().splitlines()[1:]
        except OSError:
            continue
        for words in map(str.split, lines):
            if words[3] == "0A" and int(words[1].rsplit(":", 1)[1], 16) == port:  # 0A: listens
                inodes.add(f"socket:[{words[9]}]")
    for process in Path("/proc").glob("[0-9]*") if inodes else ():
        try:
            if any(os.readlink(handle) in inodes for handle in (process / "fd").iterdir()):
                command = (process / "cmdline").read_bytes().rstrip(b"\0").decode("utf-8", "replace")
                return int(process.name), command.replace("\0", " ")[:120]
        except OSError:
            continue
    return None, ""
