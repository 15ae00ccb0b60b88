"""What the help page is answered."""

from __future__ import annotations

from axlewright.say.help import help_of
from axlewright.web import pages
from axlewright.web.bench import Bench
from tests.web.in_process import Asking, said


def test_help_is_there_before_the_solver_and_has_every_page():
    bench = Bench("teasel")
    sections = said(Asking(bench).post("/help/all"))["answer"]["sections"]
    told = {entry["anchor"]: entry for section in sections for entry in section["entries"]}
    for section in help_of(bench.mounted.car):
        for entry in section.entries:
            assert told[entry.anchor]["name"] == entry.name
    assert len(sections[0]["entries"]) == len(pages.MADE)
    assert told["page-Help"]["about"].startswith("What each reading")
