"""Serve the bench: on this machine alone, or shared on the local network behind a code."""

from __future__ import annotations

import socket
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import uvicorn

from axlewright.errors import RequestError
from axlewright.web.access import LOOPBACK, new_code
from axlewright.web.app import application
from axlewright.web.bench import Bench

PORT = 8765
WAITING = 100  # connections that are not yet taken up
SOCKET_MESSAGE = 65_536  # bytes that a page may say through its socket; it says next to nothing


class Place(NamedTuple):
    """Where the bench can be reached."""

    addresses: tuple[str, ...]  # for people, the way in for a phone first
    code: str  # empty on this machine alone


def serve(source: str | Path, *, port: int = PORT, share: bool = False, say: Callable[[Place, Bench], None]) -> None:
    """Serve until interrupted; `say` is told where, once the port is ours. Raises `RequestError` for a taken port."""
    bench = Bench(source)
    listening = _listen("0.0.0.0" if share else "127.0.0.1", port)
    port = listening.getsockname()[1]
    names, code = (own_names(), new_code()) if share else ((), "")
    app = application(bench, hosts=(*LOOPBACK, *names), code=code)
    tail = f"/in?code={code}" if code else "/"
    say(Place(tuple(f"http://{name}:{port}{tail}" for name in (*names, "127.0.0.1")), code), bench)
    # Sockets are closed after two seconds when the bench ends: an open page would keep it for ever.
    settings = uvicorn.Config(
        app,
        log_level="warning",
        timeout_graceful_shutdown=2,
        ws="websockets-sansio",
        ws_max_size=SOCKET_MESSAGE,
        server_header=False,
    )
    server = uvicorn.Server(settings)
    with listening:
        server.run(sockets=[listening])


def _listen(host: str, port: int) -> socket.socket:
    if not 0 <= port <= 65535:
        raise RequestError(f"found port {port}; expected 0 to 65535. Likeliest fix: leave --port out")
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(WAITING)  # from now on a browser waits, where it would be turned away
    except OSError as error:
        listening.close()
        raise RequestError(
            f"found port {port} in use or not allowed ({error.strerror}); expected a free one. Likeliest fix: "
            f"close the other bench, or use another port: --port {port + 1 if port < 65535 else port - 1}"
        ) from error
    return listening


def own_names() -> tuple[str, ...]:
    """Names and addresses of this machine on the local network, the address first. Nothing is sent."""
    found = list[str]()
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # an address kept for documentation (RFC 5737): only picks the interface
        found.append(probe.getsockname()[0])
    name = socket.gethostname().lower()
    with suppress(OSError):
        found += [entry[4][0] for entry in socket.getaddrinfo(name, None, socket.AF_INET)]
    found += [name, f"{name}.local"]
    return tuple(dict.fromkeys(str(one) for one in found if not str(one).startswith("127.")))
