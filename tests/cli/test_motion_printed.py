"""Runs as people and programs read them: what had not settled is said, damper speeds are shared out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from axlewright.cli.printed.motion import print_tables
from axlewright.tune.export_motion import runs_data
from tests.readings.motion.signals import run_of

TIME = np.linspace(0.0, 2.0, 401)
FORCE = np.where(TIME > 0.1, 1000.0, 0.0)
PATH = "rear.spring_left"


def road():
    """A damper that is compressed at 200 mm/s for a quarter of the time, then extends at 67 mm/s."""
    lengthening = np.where(TIME < 0.5, -0.2, 0.067)
    load = np.full((len(TIME), 4, 1), 2500.0)
    return run_of(TIME, "road", load=load, extension_rate={PATH: lengthening}, damper_push={PATH: -lengthening})


def test_what_had_not_settled_is_said(capsys):
    still = run_of(TIME, "drive", begins=0.1, longitudinal=FORCE, use=0.5 * FORCE / 1000.0)
    rising = run_of(TIME, "drive", begins=0.1, longitudinal=FORCE * TIME, use=0.2 * TIME)
    print_tables([("one", still), ("other", rising)], "metric")
    said = capsys.readouterr().out
    assert "other: it still moved at its end" in said
    assert "one: it still moved" not in said
    runs = runs_data([("one", still), ("other", rising)])["runs"]
    assert [runs[name]["settled"] for name in ("one", "other")] == [True, False]
    assert runs["other"]["readings"]["settled_demand"]["value"] is None


def test_a_run_that_stopped_says_why_and_nothing_of_settling(capsys):
    gone = np.where(TIME > 1.0, np.nan, FORCE)
    stopped = run_of(TIME, "drive", begins=0.1, ended=[1], longitudinal=gone, use=gone)
    print_tables([("one", replace(stopped, sentences=("it could not be followed beyond 1.0 s",)))], "metric")
    said = capsys.readouterr().out
    assert "one: it could not be followed beyond 1.0 s" in said
    assert "still moved" not in said


def test_damper_speeds_are_shared_out(capsys):
    print_tables([("one", road())], "metric")
    rows = {
        line.rsplit(maxsplit=1)[0].strip(): line.split()[-1] for line in capsys.readouterr().out.splitlines() if line
    }
    assert float(rows["compression 100 to 250"]) == pytest.approx(25.0, abs=0.5)
    assert float(rows["rebound 50 to 100"]) == pytest.approx(75.0, abs=0.5)
    assert float(rows["still below 10"]) == 0.0
    dampers = runs_data([("one", road())])["runs"]["one"]["dampers"]
    shares = dampers["shares"][PATH]
    assert len(shares) == len(dampers["edges"]) + 1
    assert sum(shares) == pytest.approx(1.0)
    assert shares[dampers["edges"].index(0.1) + 1] == pytest.approx(0.25, abs=5e-3)  # 0.1 to 0.25 m/s, compression
