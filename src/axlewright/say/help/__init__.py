"""Help: what every reading, adjuster and word means, made from the registries and docstrings that the program runs on.

Nothing is said twice: a reading's words are those of its own definition, its explanation is the docstring of the
function that reads it, and a family's is that of its module. So a change there is a change here.
"""

from __future__ import annotations

from axlewright.car.schema import Car
from axlewright.say.help.adjusters import adjuster_sections
from axlewright.say.help.car_file import car_file_section
from axlewright.say.help.entry import Entry as Entry
from axlewright.say.help.entry import Section as Section
from axlewright.say.help.readings import motion_sections, reading_sections
from axlewright.say.help.words import caution_section, command_section, phase_section, word_sections, work_sections


def help_of(car: Car) -> tuple[Section, ...]:
    """Everything about one car, in the order of reading: words first, then what is read off, turned and written."""
    return (
        *word_sections(),
        *reading_sections(car),
        *motion_sections(car),
        *adjuster_sections(car),
        caution_section(),
        *work_sections(car),
        phase_section(car),
        car_file_section(),
        command_section(),
    )
