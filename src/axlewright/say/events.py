"""What can be done to a car in motion: the inputs of each event in words and units, our defaults, and the asking.

The command line's options and the page's form have the same defaults because both take them from here. Nothing is
loaded that solves until an event is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from axlewright.errors import RequestError, UnitError
from axlewright.units import parse

CLASSES = "ABCDEFGH"  # of ISO 8608, smooth to very rough
CLASS, COUNT = "class", "count"  # kinds of inputs that are no quantities


class Input(NamedTuple):
    """One input of an event. `least` and `most` are what a page lets through, as a person would write them."""

    id: str
    name: str
    kind: str  # of `units.KINDS`, or CLASS or COUNT
    default: str
    words: str
    least: str = ""
    most: str = ""


class EventForm(NamedTuple):
    """One event and its inputs."""

    id: str
    name: str
    words: str
    inputs: tuple[Input, ...]

    def default(self, name: str) -> str:
        """What an input is when nobody says otherwise."""
        return next(one.default for one in self.inputs if one.id == name)


class Read(NamedTuple):
    """Inputs as they were understood: SI values, and for those that can't be, what is wrong with them."""

    values: dict[str, float | str]
    problems: dict[str, str]


def _speed(default: str, least: str = "1 m/s") -> Input:
    return Input("speed", "speed", "speed", default, "how fast the car goes when it begins", least, "120 m/s")


def _ramp(default: str, words: str) -> Input:
    return Input("ramp", "within", "time", default, words, "0 s", "2 s")


def _seconds(default: str, most: str) -> Input:
    return Input("seconds", "followed for", "time", default, "how long the car is followed", "0.3 s", most)


EVENTS = {
    form.id: form
    for form in (
        EventForm("drive", "Torque hit", "The throttle opens: what the driven axle and its tyres do.", (
            _speed("15 m/s", "0 m/s"),
            Input("torque", "torque", "torque", "1500 N m", "of the driven axle, both wheels", "1 N m", "20000 N m"),
            _ramp("20 ms", "how long the torque takes to come on"),
            _seconds("2 s", "10 s"),
        )),
        EventForm("brake", "Brake hit", "The brakes come on, clutch out, straight ahead.", (
            _speed("30 m/s"),
            Input("effort", "effort", "share", "50 %", "of full pedal", "1 %", "100 %"),
            _ramp("100 ms", "how long the pedal takes to come on"),
            _seconds("2 s", "10 s"),
        )),
        EventForm("steer", "Step steer", "The steering wheel turns to what holds a corner and stays (ISO 7401).", (
            _speed("28 m/s"),
            Input("ay", "to", "acceleration", "4 m/s^2", "sideways when steady; left positive", "-2 g", "2 g"),
            _ramp("150 ms", "how long the steering takes"),
            _seconds("4 s", "10 s"),
        )),
        EventForm("road", "Rough road", "A random road of an ISO 8608 class, the same for every setup.", (
            Input("rough", "class", CLASS, "B", "A is a good track, C a poor road; each is twice as high"),
            _speed("25 m/s"),
            Input("seed", "seed", COUNT, "1", "another number is another road of the class", "0", "9999"),
            _seconds("4 s", "4 s"),
        )),
    )
}  # fmt: skip


def read(event: str, given: Mapping[str, str]) -> Read:
    """Inputs as a person wrote them; what isn't given or is empty is the default."""
    values: dict[str, float | str] = {}
    problems: dict[str, str] = {}
    for one in form_of(event).inputs:
        text = given.get(one.id, "").strip() or one.default
        try:
            values[one.id] = _value(one, text)
        except UnitError as error:
            problems[one.id] = str(error)
    return Read(values, problems)


def form_of(event: str) -> EventForm:
    """The event of this id; raises RequestError for an unknown one."""
    if event not in EVENTS:
        raise RequestError(f'found the event "{event}"; expected one of {", ".join(EVENTS)}')
    return EVENTS[event]


def _value(one: Input, text: str) -> float | str:
    if one.kind == CLASS:
        if text.upper() not in CLASSES or len(text) != 1:
            raise UnitError(f'"{text}"', f"a class of ISO 8608, {CLASSES[0]} to {CLASSES[-1]}", "B is a usual road")
        return text.upper()
    if one.kind == COUNT:
        if not (text.isascii() and text.isdigit() and int(text) <= int(one.most)):
            raise UnitError(f'"{text}"', f"a whole number from {one.least} to {one.most}", "any number will do")
        return float(text)
    value = parse(text, one.kind).value
    if not parse(one.least, one.kind).value <= value <= parse(one.most, one.kind).value:
        raise UnitError(f'"{text}"', f"{one.name} from {one.least} to {one.most}", f'such as "{one.default}"')
    return value


def asking(event: str, values: Mapping[str, float | str]):  # noqa: ANN201 - a Do, imported when it is used
    """The event with these inputs, ready to be done to setups of a car."""
    from axlewright.tune.events_asked import hit, road, steer

    form_of(event)
    n = {key: float(value) for key, value in values.items() if not isinstance(value, str)}
    speed, seconds = n["speed"], n["seconds"]
    if event == "steer":
        return steer(speed=speed, ay=n["ay"], ramp=n["ramp"], seconds=seconds)
    if event == "road":
        return road(rough=str(values["rough"]), seed=int(n["seed"]), speed=speed, seconds=seconds)
    if event == "brake":
        return hit(brake=True, speed=speed, effort=n["effort"], ramp=n["ramp"], seconds=seconds)
    return hit(speed=speed, torque=n["torque"], ramp=n["ramp"], seconds=seconds)
