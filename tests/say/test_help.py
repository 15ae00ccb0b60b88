"""Help has everything that the program has, in the program's own words."""

from __future__ import annotations

import sys

import pytest

from axlewright import torque_hit
from axlewright.car.adjusters import CAUTIONS, FAMILIES, PLACES, RECHECKS, STAGES, adjusters_of
from axlewright.car.describe import describe
from axlewright.car.file import load
from axlewright.cli.commands import COMMANDS
from axlewright.readings import cross_weight, readings_of
from axlewright.readings.motion import motion_readings
from axlewright.readings.motion.hop import cycles
from axlewright.say.help import help_of
from axlewright.say.help.entry import paragraphs
from axlewright.solve.motion.events import Following
from axlewright.solve.verbs import machine_of

CARS = ("teasel", "dunnock")  # a live axle and an independent rear
TEASEL = load("teasel")


def entries(car=TEASEL):
    return {entry.anchor: entry for section in help_of(car) for entry in section.entries}


@pytest.mark.parametrize("name", CARS)
def test_every_reading_of_a_car_is_there_with_its_own_words(name):
    car = load(name)
    told = entries(car)
    for reading in readings_of(machine_of(car)).values():
        entry = told[f"reading-{reading.id}"]
        facts = dict(entry.facts)
        assert entry.name == reading.name
        assert (facts["more"], facts["less"], facts["source"]) == (reading.more, reading.less, reading.source)


def test_every_reading_of_a_run_is_there_as_the_run_names_it():
    told = {key: entry for key, entry in entries().items() if key.startswith("motion-")}
    run = torque_hit(TEASEL, how=Following(duration=0.3))
    for reading in motion_readings(run).values():
        assert told[f"motion-{reading.id}"].name == reading.name
        assert "torque hit" in dict(told[f"motion-{reading.id}"].facts)["told of"].replace("every event", "torque hit")


@pytest.mark.parametrize("name", CARS)
def test_every_adjuster_is_there_and_its_family_is_explained(name):
    car = load(name)
    told, sections = entries(car), help_of(car)
    for adjuster in adjusters_of(car).values():
        facts = dict(told[f"adjuster-{adjuster.id}"].facts)
        assert facts["counted"] == adjuster.reference
        assert facts["more"] in adjuster.direction
        assert facts["kind"] == adjuster.family
        assert facts.get("re check", "") == ", ".join(RECHECKS[code] for code in adjuster.recheck)
    titles = [section.title for section in sections if section.part == "Adjusters of this car"]
    for family in FAMILIES:
        if family(car, *describe(car)):
            assert paragraphs(sys.modules[family.__module__].__doc__).split("\n\n")[0].rstrip(".") in titles


def test_cautions_rechecks_places_stages_phases_and_commands_are_there():
    told = entries()
    for caution, text in CAUTIONS.items():
        assert told[f"caution-{caution.replace(' ', '-')}"].about == text
    for code, what in RECHECKS.items():
        assert told[f"recheck-{code}"].name == f"{code}: {what}"
    for place, words in PLACES.items():
        assert told[f"place-{place}"].about == words
    assert all(f"stage-{stage}" in told for stage in STAGES)
    assert all(f"phase-{phase.name.replace(' ', '-')}" in told for phase in TEASEL.phases)
    for name, command in COMMANDS.items():
        assert told[f"command-{name}"].about == command.summary


def test_addresses_are_unique_and_whole():
    anchors = [entry.anchor for section in help_of(TEASEL) for entry in section.entries]
    anchors += [section.anchor for section in help_of(TEASEL)]
    assert len(set(anchors)) == len(anchors)
    assert all(" " not in anchor and anchor for anchor in anchors)


def test_a_docstring_that_changes_is_a_help_that_changes(monkeypatch):
    monkeypatch.setattr(cross_weight.cross_weight, "__doc__", "What the diagonal carries, (B,).")
    monkeypatch.setattr(cycles, "__doc__", "Times there and back.")
    monkeypatch.setattr(cross_weight, "__doc__", "Diagonals.\n\n    Two of\n    them.")
    told = entries()
    assert told["reading-cross_weight"].about == "What the diagonal carries."
    assert "Times there and back." in told["motion-rear_hop_count"].about
    section = next(s for s in help_of(TEASEL) if s.anchor == "section-readings.cross_weight")
    assert (section.title, section.about) == ("Diagonals", "Two of them.")


@pytest.mark.parametrize(
    ("slang", "anchor"),
    [
        ("sway bar", "adjuster-front_bar_hole"),
        ("wedge", "reading-cross_weight"),
        ("push", "reading-balance"),
        ("clickers", "adjuster-damper_front_rebound"),
        ("wheel hop", "motion-rear_hop_count"),
        ("posi", "adjuster-diff_preload"),
    ],
)
def test_slang_finds_the_standards_term(slang, anchor):
    entry = entries()[anchor]
    assert slang in f"{entry.name} {entry.about} {entry.also}".lower()
