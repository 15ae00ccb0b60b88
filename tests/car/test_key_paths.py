"""Key paths: spelt and taken apart, and every key of a text found on its line."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.car.file import DEMO_CARS, read
from axlewright.car.key_paths import line_of, places, spelt, steps
from axlewright.car.starter import starter_text

STEPS = st.lists(st.from_regex(r"\A[^\"\n]{1,8}\Z") | st.integers(0, 99), max_size=4)
KEYS = st.from_regex(r"\A[a-z_]{1,8}\Z")


def everything(value, path=()):
    if path:
        yield path, value
    entries = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, inner in entries:
        yield from everything(inner, (*path, step))


@given(KEYS, STEPS)
def test_a_path_is_taken_apart_as_it_was_put_together(first, rest):
    assert steps(spelt([first, *rest])) == (first, *rest)


@pytest.mark.parametrize("path", ["", "[1]", "a[0]", "a[x]", 'a."b', "a[1"])
def test_what_is_no_path_is_refused(path):
    with pytest.raises(ValueError, match="no key path"):
        steps(path)


@pytest.mark.parametrize("text", [*map(read, DEMO_CARS), starter_text()], ids=[*DEMO_CARS, "starter"])
def test_every_key_is_found_and_a_value_is_on_its_line_as_written(text):
    found, rows = places(text), text.splitlines()
    told = {spelt(path): value for path, value in everything(tomllib.loads(text))}
    assert set(found) == set(told)
    for path, value in told.items():
        row = rows[found[path].line - 1]
        if isinstance(value, (dict, list)):
            last = steps(path)[-1]
            assert isinstance(last, int) or last in row
        else:
            assert tomllib.loads(f"a = {found[path].written}")["a"] == value
            assert found[path].written in row


TRICKY = '''# a comment with [brackets] = "and"
"odd.key" = """two
lines ] """   # here
[a . "b"]
c.d = { e = [ 1,  # one
  2 ], f = '#' }
[[list]]
x = 1
[list.inner]
y = 0x_1F
[[list]]
x = 2
'''


def test_strings_comments_dots_and_lists_of_tables():
    found = places(TRICKY)
    lines = {path: place.line for path, place in found.items()}
    assert lines['"odd.key"'] == 2
    assert (lines["a"], lines["a.b"], lines["a.b.c"], lines["a.b.c.d.e[2]"]) == (4, 4, 5, 6)
    assert found["a.b.c.d.f"].written == "'#'"
    assert (lines["list[1].inner.y"], lines["list[2].x"]) == (10, 12)


@pytest.mark.parametrize(
    "broken", ["x = [1, 2", "y = ", "= 3", 'z = "open', "[half", "w = {a = ", "v = [ } ]", "q = @@"]
)
def test_a_slip_leaves_the_keys_before_and_after_it_on_their_lines(broken):
    found = places(f"a = 1\n{broken}\n[b]\nc = 2\n")
    assert found["a"].line == 1
    if broken not in ("x = [1, 2", "w = {a = "):  # an open bracket takes in what follows
        assert found["b.c"].line == 4


@given(st.text(alphabet="ab[]{}=.,\"'#\n 1", max_size=60))
def test_no_text_stops_the_finder(text):
    assert all(1 <= place.line <= text.count("\n") + 1 for place in places(text).values())


def test_a_missing_key_is_looked_for_at_its_table():
    found = places('[front]\nlayout = "strut"\n')
    assert line_of("front.spring.rate", found) == 1
    assert line_of("rear.layout", found) is None
    assert line_of("(file)", found) is None
