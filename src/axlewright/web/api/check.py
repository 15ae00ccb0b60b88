"""What is wrong with a car file, and what is unusual."""

from __future__ import annotations

from pydantic import Field

from axlewright.car.check import report_data
from axlewright.web.api.question import Closed, Data, OfCar, Question, Told
from axlewright.web.api.which_car import Cars


class Found(Closed):
    """One thing that is wrong, or only unusual."""

    path: str = Field(description="key path in the car file")
    found: str
    expected: str
    fix: str = Field(description="likeliest fix")


class CheckTold(Told):
    """What was found."""

    source: str
    ok: bool = Field(description="whether the car can be used")
    problems: list[Found] = Field(description="the car can't be used because of these")
    warnings: list[Found] = Field(description="outside common practice; stops nothing")


def _check(cars: Cars, asked: OfCar) -> Data:
    return report_data(cars.report(asked))


QUESTION = Question(
    name="check",
    summary="What is wrong with a car file, and what is unusual",
    about="A car file with problems is answered like any other: `ok` is false, each problem says its likeliest fix.",
    asked=OfCar,
    told=CheckTold,
    example={"car": "teasel"},
    plain=_check,
)
