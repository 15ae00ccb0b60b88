"""Whatever is asked within the API's own description, the answer is one that it describes, and never a fault.

Half of what is asked fits the description and half breaks it on purpose. What fits is turned towards the cheapest car:
names that were drawn become names that it has, and motion is short, so that answers are worked out as well as refused.
"""

from __future__ import annotations

from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from axlewright.car.adjusters import adjusters_of
from axlewright.car.file import demo_text, load
from axlewright.web.api import LISTS, QUESTIONS
from tests.web.browser import Served

pytestmark = pytest.mark.slow

CHEAP = "sorrel"
EXAMPLES = 12  # a route: a few seconds each with this car
SHORT = "0.1 s"  # of motion
ROADS = ("rough", "bump", "kerb", "ripples", "drop")
HAS = {
    "phases": [phase.name for phase in load(CHEAP).phases],
    "adjusters": list(adjusters_of(load(CHEAP))),
    "readings": ["balance", "cross_weight", "tyre_load_LF", "roll_centre_height_rear", "camber_LF"],
}
LONG = ("choose", "hop", "dampers")  # minutes of work for the questions' own tests
PATIENCE = 600.0  # s; the first question of each kind compiles
# solving is slow, and most bodies made at random are not questions
SLOW = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large, HealthCheck.large_base_example]
CHECKS = [
    not_a_server_error,
    response_schema_conformance,
    status_code_conformance,
    content_type_conformance,
]


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    file = tmp_path_factory.mktemp("api") / f"{CHEAP}.toml"
    file.write_text(demo_text(CHEAP), encoding="utf-8")
    running = Served(file)
    yield running
    running.close()


@pytest.fixture(scope="module")
def described(served):
    return schemathesis.openapi.from_url(f"{served.address}/api/openapi.json")


@pytest.mark.filterwarnings("ignore:Do not use the `random` module")  # it is the server's other threads that do
@pytest.mark.parametrize("mode", list(GenerationMode), ids=lambda mode: mode.value)
@pytest.mark.parametrize("question", [*QUESTIONS, *LISTS], ids=lambda question: question.name)
def test_every_answer_is_one_that_is_described(described, served, question, mode):
    operation = described[f"/{question.name}"]["GET" if question in LISTS else "POST"]
    if mode is GenerationMode.NEGATIVE and question in LISTS:
        return  # it takes nothing that could be wrong

    @settings(max_examples=EXAMPLES, derandomize=True, database=None, deadline=None, phases=[Phase.generate],
              suppress_health_check=SLOW)  # fmt: skip
    @given(case=operation.as_strategy(generation_mode=mode))
    def asked(case):
        if isinstance(case.body, dict):
            case.body = cheap(question.name, case.body)
        told = case.call_and_validate(base_url=f"{served.address}/api", checks=CHECKS, timeout=PATIENCE)
        answered.append(told.status_code)

    answered: list[int] = []
    asked()
    if mode is GenerationMode.POSITIVE:
        assert 200 in answered, answered  # not everything is refused


def cheap(question: str, body: dict[str, Any]) -> dict[str, Any]:
    """The question turned towards the cheapest car; what has another type than described stays as it is."""
    turned = {key: value for key, value in body.items() if not (key in LONG and value is True)}
    if turned.get("text") is None and isinstance(turned.get("car", CHEAP), str):
        turned["car"] = CHEAP
    for key, names in HAS.items():
        if isinstance(turned.get(key), list):
            turned[key] = [_one(name, names) for name in turned[key]]
    for key in ("setup", "against"):
        if isinstance(turned.get(key), dict):
            turned[key] = {_one(name, HAS["adjusters"]): value for name, value in turned[key].items()}
    if isinstance(turned.get("adjuster"), str):
        turned["phases"], turned["adjuster"] = ["standing"], _one(turned["adjuster"], HAS["adjusters"])
    for key, few in (("also", 1), ("more_cars", 0)):  # each number of setups is a program to compile
        if isinstance(turned.get(key), list):
            turned[key] = turned[key][:few]
    if question in ("hit", "steer", "road") and isinstance(turned.get("seconds", SHORT), (str, type(None))):
        turned["seconds"] = SHORT
    if question == "effects":  # the whole table has its own tests
        turned["quick"], turned["phases"] = True, [_one("", HAS["phases"])]
    if question == "road" and not any(turned.get(road) for road in ROADS):
        turned["bump"] = {"height": "10 mm", "length": "0.6 m"}
    return turned


def _one(drawn: Any, names: list[str]) -> Any:
    """A name that the car has for most that are drawn; others stay, and are refused."""
    if not isinstance(drawn, str) or len(drawn) % 5 == 4:
        return drawn
    return names[sum(map(ord, drawn)) % len(names)]
