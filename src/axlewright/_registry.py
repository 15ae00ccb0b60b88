"""The pint registry of `units.txt`. Importing this loads pint, so `axlewright.units` does it on first use only."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import as_file, files

from pint import UnitRegistry


@lru_cache(maxsize=1)
def registry() -> UnitRegistry:
    """The registry, made once."""
    with as_file(files("axlewright") / "units.txt") as path:
        return UnitRegistry(str(path), on_redefinition="raise")


def known_units() -> list[str]:
    """Every name and symbol that `units.txt` defines."""
    return [name for name in dir(registry()) if not name.startswith("_") and name in registry()]


def root_of(unit: str) -> tuple[float, str]:
    """SI value of one `unit`, and its dimension, such as `length1 time-2`; pint's errors pass through."""
    units = registry()
    factor, root = units.get_root_units(units.parse_units(unit))
    powers = sorted((name.strip("[]"), power) for name, power in units.get_dimensionality(root).items())
    return float(str(factor)), " ".join(f"{name}{power:g}" for name, power in powers)
