"""The car on the bench: its file, the setup as it is written and as it stands now, and everybody's moves.

Everybody at the bench moves one setup. A move is a difference, so that two people who move two adjusters at once both
keep theirs; undo takes back one's own last move, and refuses when somebody has moved the same thing since.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from pathlib import Path
from threading import RLock

from axlewright.car.adjusters import Adjuster, adjusters_of
from axlewright.car.adjusters.hand import said, tidy
from axlewright.car.adjusters.setup import single_positions
from axlewright.car.adjusters.stated import positioned
from axlewright.car.file import DEMO_CARS, checked, parse, read
from axlewright.car.schema import Car
from axlewright.car.write import write_text
from axlewright.errors import RequestError, known
from axlewright.tune.adjust import as_singles, usable_moves
from axlewright.web.asked import Asked, Positions

REMEMBERED = 2000  # moves that can be taken back, and requests known when they come again
TOLD = 32  # requests that a page is told are done: more than it can have on their way
Listener = Callable[[], object]


@dataclass(frozen=True)
class Change:
    """One move of one person."""

    who: str
    words: str
    before: Mapping[str, float]  # single adjusters
    after: Mapping[str, float]
    undone: bool = False


class Mounted:
    """A car file's text on the bench, read once."""

    def __init__(self, text: str, file: Path | None, source: str) -> None:
        self.text, self.file, self.source = text, file, source
        self.car: Car = checked(parse(text, source), source)
        self.digest = digest(text)
        self.car_in = lru_cache(maxsize=64)(self._car_in)

    @cached_property
    def drawn(self) -> dict[str, Adjuster]:
        """Adjusters as the car was measured."""
        return adjusters_of(self.car.model_copy(update={"setup": {}, "setups": {}}))

    @cached_property
    def written(self) -> dict[str, Adjuster]:
        """Adjusters as the file's setup has them."""
        return positioned(self.drawn, self.car.setup, self.car.adjusters)

    @cached_property
    def singles(self) -> dict[str, float]:
        """Positions of all single adjusters as written."""
        return {key: a.position for key, a in self.written.items() if not a.made_of}

    def standing(self, positions: Positions) -> dict[str, Adjuster]:
        """Adjusters with some single ones elsewhere than written."""
        return positioned(self.drawn, {**self.singles, **positions}, self.car.adjusters)

    def elsewhere(self, setup: Mapping[str, float]) -> Positions:
        """A named setup, which counts from the drawn car, as what stands elsewhere than written."""
        now = positioned(self.drawn, setup, self.car.adjusters)
        return {key: now[key].position for key, at in self.singles.items() if now[key].position != at}

    def checked(self, positions: Positions) -> None:
        """Raises `RequestError` for an adjuster that this car has not got, or a position outside its range."""
        known("adjuster", list(positions), self.singles)
        single_positions(self.written, [positions])

    def _car_in(self, positions: frozenset[tuple[str, float]]) -> Car:
        return self.car.model_copy(update={"setup": as_singles(self.written, dict(positions)), "setups": {}})


class Bench:
    """What everybody at the bench shares. Every method may be called from any thread."""

    def __init__(self, source: str | Path) -> None:
        self.run = secrets.token_hex(8)  # tells a page that the bench was started again
        self.lock, self._listeners = RLock(), list[Listener]()
        self.revision = 0
        self._mount(*_source(source))

    # -- the car

    def _mount(self, text: str, file: Path | None, source: str) -> None:
        self.mounted = Mounted(text, file, source)
        self.positions: Positions = {}
        self.changes: list[Change] = []
        self._undone: dict[str, list[Change]] = {}
        self._known: dict[str, str] = {}

    @property
    def text(self) -> str:
        return self.mounted.text

    @property
    def digest(self) -> str:
        return self.mounted.digest

    @property
    def file(self) -> Path | None:
        """The car's file; None for a demo car that nobody has changed yet."""
        return self.mounted.file

    @property
    def folder(self) -> Path:
        """Where car files are: beside the car's own, or where the bench was started."""
        return self.file.parent if self.file else Path.cwd()

    def open(self, source: str | Path) -> None:
        """Put another car on the bench; raises `CarFileError` and keeps the present one when it can't be used."""
        with self.lock:
            self._mount(*_source(source))
            self._changed()

    def write(self, text: str, was: str) -> Path:
        """Replace the car's file, on disk when this returns; positions moved since stay moved where they still exist.

        `was` is the digest of the text that the change began from. Raises `CarFileError` for a text that is no car,
        and `RequestError` when the file has another text by now; nothing is written then.
        """
        with self.lock:
            mounted = Mounted(text, self.file or own_file(self.mounted.source), str(self.file or self.mounted.source))
            self._unchanged(was)
            assert mounted.file is not None
            write_text(mounted.file, text)
            kept = {k: v for k, v in self.positions.items() if mounted.singles.get(k, v) != v}
            try:
                mounted.checked(kept)
            except RequestError:  # a range became narrower: nothing stands where it can't
                kept = {}
            self._mount(text, mounted.file, str(mounted.file))
            self.positions = kept
            self._changed()
            return mounted.file

    @property
    def on_disk(self) -> str:
        """The text that a change would replace, whoever wrote it last; of a demo car that has no file yet its own."""
        kept = self.file or own_file(self.mounted.source)
        return read(kept) if self.file or kept.exists() else self.text

    def _unchanged(self, was: str) -> None:
        if was != digest(self.on_disk):
            raise RequestError(
                "found that the car file has been changed meanwhile; expected the text that this change began from. "
                "Likeliest fix: look at what differs, then save again"
            )

    # -- questions

    def now(self) -> Car:
        """The car as it stands now."""
        with self.lock:
            return self.mounted.car_in(frozenset(self.positions.items()))

    def car(self, asked: Asked) -> Car:
        """The car with the asked positions as its setup; raises `RequestError` when another car is on the bench."""
        return self.checked(asked).car_in(frozenset(asked.positions.items()))

    def base(self, asked: Asked) -> Car:
        """The car as it stands in the setup that is compared with."""
        return self.checked(asked).car_in(frozenset(asked.base.items()))

    def checked(self, asked: Asked) -> Mounted:
        """The car on the bench, when it is the one that is asked about."""
        mounted = self.mounted  # looked at once: somebody may put another car on meanwhile
        if asked.car != mounted.digest:
            raise RequestError(
                "found another car on the bench than the page shows; expected the same. Likeliest fix: wait"
            )
        mounted.checked(asked.positions)
        mounted.checked(asked.base)
        return mounted

    # -- moves

    def move(self, who: str, adjuster: str, steps: int, request: str = "", of: str = "") -> None:
        """Move an adjuster by whole usable steps; raises `RequestError` at the end of its range.

        `of` names the car that it is meant for, `request` is the same when it is sent again.
        """
        with self.lock:
            self._meant(of)
            known("adjuster", [adjuster], self.mounted.written)
            if request in self._known:
                return
            now = self.mounted.standing(self.positions)
            to = now[adjuster]
            for _ in range(abs(steps)):
                step = usable_moves(to)[0 if steps > 0 else 1]
                if step.position is None:
                    raise RequestError(step.reason)
                to = replace(to, position=step.position)
            self._put(who, now[adjuster], to.position, request)

    def put(self, who: str, adjuster: str, position: float, request: str = "", of: str = "") -> None:
        """Put an adjuster to a position; raises `RequestError` outside its range."""
        with self.lock:
            self._meant(of)
            known("adjuster", [adjuster], self.mounted.written)
            if request not in self._known:
                self._put(who, self.mounted.standing(self.positions)[adjuster], position, request)

    def _meant(self, of: str) -> None:
        name = self.mounted.car.name
        if of and of != name:
            raise RequestError(
                f'found "{name}" on the bench; expected "{of}", which this move was made for. Likeliest fix: put that '
                "car back on the bench, and move it there"
            )

    def _put(self, who: str, adjuster: Adjuster, position: float, request: str) -> None:
        now = self.mounted.standing(self.positions)
        found = single_positions(now, [{adjuster.id: position}])
        words = f"{adjuster.name}: {said(adjuster.position, adjuster.unit)} to {said(position, adjuster.unit)}"
        self._apply(who, words, {key: tidy(float(counts[0])) for key, counts in found.items()}, request)

    def take(self, who: str, positions: Positions, words: str, request: str = "", *, first: bool = False) -> None:
        """Put the whole setup elsewhere: back to what is written, or to a named setup.

        With `first` only while nothing has been moved yet: several phones may put back what stood before a restart.
        """
        with self.lock:
            self.mounted.checked(positions)
            if first and self.changes:
                self._remember(who, request)
            elif request not in self._known:
                self._apply(who, words, {**self.mounted.singles, **positions}, request)

    def _apply(self, who: str, words: str, to: Mapping[str, float], request: str) -> None:
        self._remember(who, request)  # before anybody is told, so that a page never counts its own move twice
        before = {**self.mounted.singles, **self.positions}
        moved = {key for key, position in to.items() if before[key] != position}
        if moved:
            change = Change(who, words, {k: before[k] for k in moved}, {k: to[k] for k in moved})
            self.changes = [*self.changes, change][-REMEMBERED:]
            self._undone.pop(who, None)
            self._stand(change.after)

    def undo(self, who: str) -> str:
        """Take back one's own last move; says which. `RequestError` when there is none, or it was moved since."""
        with self.lock:
            own = [i for i, c in enumerate(self.changes) if c.who == who and not c.undone]
            if not own:
                raise RequestError("found no move of yours to take back; expected one. Likeliest fix: none is needed")
            change = self.changes[own[-1]]
            self._still(change.after, change.words)
            self.changes[own[-1]] = replace(change, undone=True)
            self._undone.setdefault(who, []).append(change)
            self._stand(change.before)
            return change.words

    def redo(self, who: str) -> str:
        """Make one's own last move that was taken back again; says which."""
        with self.lock:
            if not self._undone.get(who):
                raise RequestError(
                    "found no move to make again; expected one taken back. Likeliest fix: none is needed"
                )
            change = self._undone[who][-1]
            self._still(change.before, change.words)
            self._undone[who].pop()
            self.changes = [*self.changes, change][-REMEMBERED:]
            self._stand(change.after)
            return change.words

    def can(self, who: str) -> tuple[bool, bool]:
        """Whether this person has something to undo, and to redo."""
        return any(c.who == who and not c.undone for c in self.changes), bool(self._undone.get(who))

    def _still(self, at: Mapping[str, float], words: str) -> None:
        now = {**self.mounted.singles, **self.positions}
        if any(now[key] != position for key, position in at.items()):
            raise RequestError(
                f"found that somebody has moved the same thing since ({words}); expected it where you left it. "
                "Likeliest fix: agree, then move it by hand"
            )

    def _stand(self, moved: Mapping[str, float]) -> None:
        now = {**self.positions, **moved}
        self.positions = {key: now[key] for key in sorted(now) if now[key] != self.mounted.singles[key]}
        self._changed()

    def done(self, who: str) -> list[str]:
        """This person's last requests that have been carried out."""
        return [request for request, by in self._known.items() if by == who][-TOLD:]

    def _remember(self, who: str, request: str) -> None:
        """That a request has been carried out: a page sends it again when it saw no answer."""
        if request:
            self._known[request] = who
            if len(self._known) > REMEMBERED:
                self._known.pop(next(iter(self._known)))

    # -- who listens

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Call back after every change; returns what ends it."""
        with self.lock:
            self._listeners.append(listener)
        return lambda: self._listeners.remove(listener)

    def _changed(self) -> None:
        self.revision += 1
        for listener in list(self._listeners):
            listener()


def digest(text: str) -> str:
    """Tells two texts apart."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def own_file(demo: str) -> Path:
    """The file that a changed demo car becomes: in the folder where the bench was started."""
    return Path.cwd() / f"{Path(demo).stem}.toml"


def _source(source: str | Path) -> tuple[str, Path | None, str]:
    """Text, file and name. A demo car that was changed and kept here before is taken from here."""
    name = str(source)
    if name in DEMO_CARS and not Path(name).is_file():
        kept = own_file(name)
        return (read(kept), kept, str(kept)) if kept.is_file() else (read(name), None, name)
    return read(source), Path(source), name
