"""Help on words, signs and states; cautions; re-checks, places and the order of work; phases; commands."""

from __future__ import annotations

from collections.abc import Iterable

from axlewright.car.adjusters import CAUTIONS, PLACES, RECHECKS, STAGES, Adjuster, adjusters_of
from axlewright.car.schema import Car
from axlewright.car.schema.phases import GRIP_LEVELS, Phase
from axlewright.readings import states
from axlewright.say.cautions import ABOUT_LOADS, ABOUT_NUMBERS, BY_DEGREES
from axlewright.say.commands import SUMMARIES
from axlewright.say.help.entry import Entry, Section, about_module, entry
from axlewright.say.help.glossary import SIGNS, WORDS
from axlewright.say.search_words import SEARCH_WORDS

ALWAYS = {"about numbers": ABOUT_NUMBERS, "about loads": ABOUT_LOADS, "by degrees": BY_DEGREES}


def word_sections() -> tuple[Section, ...]:
    """Words, signs, states of parts, and what other words find."""
    words = tuple(entry(f"word-{word}", word, meaning) for word, meaning in WORDS.items())
    signs = tuple(entry(f"sign-{what}", what, way) for what, way in SIGNS.items())
    title, about = about_module(states.__module__)
    others = tuple(
        entry(f"search-{ours[0]}", ", ".join(ours), f"is also found by: {said}") for ours, said in SEARCH_WORDS
    )
    return (
        Section("words", "Words", "What words mean here", "", words),
        Section("signs", "Words", "Which way is which", "Every number is told with its direction in words too.", signs),
        Section("states", "Words", "States of parts", "", (entry("state-words", title, about),)),
        Section(
            "search", "Words", "Other words that find things",
            "What people say in the paddock is understood when searching; what is shown is the standards' term.",
            others,
        ),
    )  # fmt: skip


def caution_section() -> Section:
    """Every caution, each once."""
    listed = tuple(entry(f"caution-{name}", name, text) for name, text in {**CAUTIONS, **ALWAYS}.items())
    return Section("cautions", "Working on the car", "Cautions", "", listed)


def work_sections(car: Car) -> tuple[Section, ...]:
    """Re-checks, places, and the order of work, each with the adjusters of this car that it concerns."""
    every = adjusters_of(car).values()
    checks = tuple(
        entry(
            f"recheck-{code}", f"{code}: {what}",
            after=_families(a for a in every if code in a.recheck),
            put_right_after=_families(a for a in every if code in a.rezero),
        )
        for code, what in RECHECKS.items()
    )  # fmt: skip
    places = tuple(
        entry(f"place-{place}", place, words, adjusters=_families(a for a in every if a.place == place))
        for place, words in PLACES.items()
    )
    order = tuple(
        entry(f"stage-{stage}", f"{i}. {stage}", adjusters=_families(a for a in every if a.stage == stage))
        for i, stage in enumerate(STAGES, 1)
    )
    part = "Working on the car"
    return (
        Section("rechecks", part, "Re-checks", "Codes in the order in which they are looked at.", checks),
        Section("places", part, "Places", "Where an adjuster can be reached, the nearest to the track first.", places),
        Section("stages", part, "Order of work", "What moves ride height before alignment, bars last.", order),
    )


def _families(adjusters: Iterable[Adjuster]) -> str:
    """Which kinds of adjuster these are."""
    return ", ".join(dict.fromkeys(a.family for a in adjusters))


def phase_section(car: Car) -> Section:
    """The phases of this car."""
    title, about = about_module(Phase.__module__)
    levels = ", ".join(f"{word} {factor:g}" for word, factor in GRIP_LEVELS.items())
    about = f"{title}. {about} Grip of the road, as a factor on every tyre's: {levels}.".replace("  ", " ")
    return Section("phases", "Phases", "Phases of this car", about, tuple(_phase(phase) for phase in car.phases))


def _phase(phase: Phase) -> Entry:
    return entry(
        f"phase-{phase.name}", phase.name, "",
        forward=str(phase.ax), sideways=str(phase.ay), speed=str(phase.speed), effort=phase.effort,
        grip=str(phase.grip), road="not level" if phase.road else "",
    )  # fmt: skip


def command_section() -> Section:
    """The command line, which answers the same questions with the same numbers."""
    listed = tuple(entry(f"command-{name}", f"axlewright {name}", summary) for name, summary in SUMMARIES.items())
    about = "In a terminal; each has more to say with --help. Pages and commands ask the same functions."
    return Section("commands", "The command line", "Commands", about, listed)
