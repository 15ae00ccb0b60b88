"""The car file's schema: one file a part of the car, `car.py` for the whole."""

from axlewright.car.schema.car import Car as Car
