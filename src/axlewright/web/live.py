"""Everybody sees each other's moves: the bench as data, and a socket that tells of every change."""

from __future__ import annotations

import asyncio
from dataclasses import asdict
from typing import Any

from fastapi import APIRouter, WebSocket, WebSocketDisconnect
from fastapi.responses import JSONResponse

from axlewright.car.adjusters import CAUTIONS, PLACES, RECHECKS, Adjuster
from axlewright.car.adjusters.hand import said
from axlewright.say.numbers import units_of
from axlewright.solve.phases import held_phases
from axlewright.tune.work_order import work_order
from axlewright.web.bench import Bench
from axlewright.web.streaming import plain
from axlewright.web.warming import Warming


def router(bench: Bench, warming: Warming) -> APIRouter:
    """The bench as data, and the socket."""
    routes = APIRouter(prefix="/bench", include_in_schema=False)

    @routes.get("")
    def whole(who: str = "") -> JSONResponse:
        return JSONResponse({**described(bench), **standing(bench, warming, who)})

    @routes.websocket("/live")
    async def live(socket: WebSocket, who: str = "") -> None:
        await socket.accept()
        loop, wake = asyncio.get_running_loop(), asyncio.Event()
        leave = [source.listen(lambda: loop.call_soon_threadsafe(wake.set)) for source in (bench, warming)]
        try:
            listening = asyncio.create_task(_listen(socket))
            while not listening.done():
                await socket.send_json(standing(bench, warming, who))
                waiting = asyncio.create_task(wake.wait())
                await asyncio.wait({waiting, listening}, return_when=asyncio.FIRST_COMPLETED)
                waiting.cancel()
                wake.clear()
        except (WebSocketDisconnect, RuntimeError):
            pass
        finally:
            for end in leave:
                end()

    return routes


async def _listen(socket: WebSocket) -> None:
    """Until the other side goes; it says nothing but "still here"."""
    try:
        while True:
            await socket.receive_text()
    except (WebSocketDisconnect, RuntimeError):
        return


def standing(bench: Bench, warming: Warming, who: str) -> dict[str, Any]:
    """What changes while people work: positions, what this person can take back, which of their requests are done."""
    with bench.lock:
        return _standing(bench, warming, who)


def _standing(bench: Bench, warming: Warming, who: str) -> dict[str, Any]:
    mounted, positions = bench.mounted, bench.positions
    now = mounted.standing(positions) if positions else mounted.written
    shown = {}
    for key, a in now.items():
        was = mounted.written[key]
        if (a.position, a.lo, a.hi) != (was.position, was.lo, was.hi):
            moved, words = a.position != was.position, said(a.position, a.unit)
            shown[key] = {"position": a.position, "lo": a.lo, "hi": a.hi, "said": words, "moved": moved}
    undo, redo = bench.can(who)
    last = bench.changes[-1] if bench.changes else None
    return plain(
        {
            "run": bench.run, "revision": bench.revision, "digest": bench.digest, "positions": positions,
            "shown": shown, "undo": undo, "redo": redo, "done": bench.done(who), "warm": warming.state._asdict(),
            "rechecks": len(work_order(mounted.written, now).looks) if positions else 0,
            "last": {"words": last.words, "mine": last.who == who} if last else None,
        }
    )  # fmt: skip


def described(bench: Bench) -> dict[str, Any]:
    """What changes with the car file: the car, its phases, adjusters and named setups."""
    mounted = bench.mounted
    car = mounted.car
    phases: dict[str, list[str]] = {}
    for held in held_phases(car.phases):
        phases.setdefault(held.phase.name, []).append(held.turn)
    words = {p.name: f"ax {p.ax}, ay {p.ay}, {p.speed}, {p.effort}" for p in car.phases}
    return plain(
        {
            "car": {
                "digest": mounted.digest, "name": car.name, "notes": car.notes, "units": units_of(car, None),
                "file": mounted.file.name if mounted.file else "", "rules": car.rules.name,
                "phases": [{"name": name, "turns": turns, "words": words[name]} for name, turns in phases.items()],
            },
            "measured": mounted.elsewhere({}),
            "words": {"cautions": CAUTIONS, "rechecks": RECHECKS, "places": PLACES},
            "adjusters": {key: described_adjuster(a) for key, a in mounted.written.items()},
            "setups": [
                {"name": name, "author": one.author, "date": one.date.isoformat(" ", "minutes") if one.date else "",
                 "why": one.why, "positions": mounted.elsewhere(one.positions)}
                for name, one in car.setups.items()
            ],
        }
    )  # fmt: skip


def described_adjuster(adjuster: Adjuster) -> dict[str, Any]:
    """An adjuster as a page shows it."""
    data = asdict(adjuster)
    for inside in ("edits", "drawn"):
        data.pop(inside)
    return {**data, "said": said(adjuster.position, adjuster.unit)}
