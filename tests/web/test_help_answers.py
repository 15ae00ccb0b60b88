"""What the help page is answered."""

from __future__ import annotations

import json

from axlewright.say.help import help_of
from axlewright.web import pages
from axlewright.web.app import application
from axlewright.web.bench import Bench
from tests.web.asking import ask


def test_help_is_there_before_the_solver_and_has_every_page():
    bench = Bench("teasel")
    reply = ask(application(bench, warm=False), "POST", "/help/all")
    sections = json.loads(reply.text.splitlines()[-1])["answer"]["sections"]
    told = {entry["anchor"]: entry for section in sections for entry in section["entries"]}
    for section in help_of(bench.mounted.car):
        for entry in section.entries:
            assert told[entry.anchor]["name"] == entry.name
    assert len(sections[0]["entries"]) == len(pages.MADE)
    assert told["page-Help"]["about"].startswith("What each reading")
