"""What several people do to one setup."""

from __future__ import annotations

import pytest

from axlewright.car.file import load, read
from axlewright.errors import CarFileError, RequestError
from axlewright.web.answers import Answers
from axlewright.web.app import application
from axlewright.web.asked import Asked
from axlewright.web.bench import Bench
from tests.web.asking import ask

FOUR = {"rear_bar_hole_left": 4.0, "rear_bar_hole_right": 4.0}


@pytest.fixture
def bench(tmp_path):
    file = tmp_path / "teasel.toml"
    file.write_text(read("teasel"), encoding="utf-8")
    return Bench(file)


def test_two_people_keep_both_their_moves(bench):
    bench.move("Ike", "rear_bar_hole", 1)
    bench.move("Bea", "watt_pivot", -1)
    assert bench.positions == {**FOUR, "watt_pivot": -6.0}
    bench.undo("Ike")
    assert bench.positions == {"watt_pivot": -6.0}
    bench.redo("Ike")
    assert bench.positions == {**FOUR, "watt_pivot": -6.0}


def test_a_new_move_ends_what_can_be_made_again(bench):
    bench.move("Ike", "rear_bar_hole", 1)
    bench.undo("Ike")
    bench.move("Ike", "watt_pivot", 1)
    with pytest.raises(RequestError, match="no move to make again"):
        bench.redo("Ike")


def test_a_move_sent_twice_is_made_once(bench):
    for _ in range(2):
        bench.move("Ike", "rear_bar_hole", 1, "request 1")
    assert bench.positions == FOUR


def test_a_move_that_is_refused_can_be_sent_again(bench):
    """A request that could not be carried out is not taken as done."""
    for _ in range(2):
        with pytest.raises(RequestError, match="highest"):
            bench.move("Ike", "rear_bar_hole", 3, "request 1")
    assert bench.positions == {}


@pytest.mark.parametrize(
    ("adjuster", "steps", "message"),
    [
        ("rear_bar_hole", 3, "rear bar, hole, both sides is at its highest"),
        ("rear_bar_hol", 1, "did you mean `rear_bar_hole`"),
    ],
)
def test_what_can_not_be_moved_says_why_and_moves_nothing(bench, adjuster, steps, message):
    with pytest.raises(RequestError, match=message):
        bench.move("Ike", adjuster, steps)
    assert bench.positions == {}


def test_a_question_about_another_car_is_refused(bench):
    with pytest.raises(RequestError, match="another car on the bench"):
        bench.car(Asked(car="0" * 16))


def test_the_car_of_a_question_stands_as_asked(bench):
    car = bench.car(Asked(car=bench.digest, positions=FOUR))
    assert dict(car.setup) == FOUR


def test_a_write_keeps_what_is_moved_since_and_is_on_disk(bench):
    bench.move("Ike", "watt_pivot", 1)
    text = bench.text.replace('name = "teasel"', 'name = "teasel two"')
    bench.write(text, bench.digest)
    assert load(bench.file).name == "teasel two"
    assert bench.positions == {"watt_pivot": 6.0}


def test_a_write_over_somebody_elses_is_refused_and_nothing_is_lost(bench):
    began = bench.digest
    bench.write(bench.text + "\n# one\n", began)
    with pytest.raises(RequestError, match="changed meanwhile"):
        bench.write(bench.text + "\n# two\n", began)
    assert bench.file.read_text(encoding="utf-8").endswith("# one\n")


def test_a_file_changed_by_an_editor_is_not_overwritten(bench):
    bench.file.write_text(bench.text + "\n# by hand\n", encoding="utf-8")
    with pytest.raises(RequestError, match="changed meanwhile"):
        bench.write(bench.text + "\n# two\n", bench.digest)
    assert bench.file.read_text(encoding="utf-8").endswith("# by hand\n")


def test_a_text_that_is_no_car_is_not_written(bench):
    with pytest.raises(CarFileError):
        bench.write("name = 3", bench.digest)
    assert bench.file.read_text(encoding="utf-8") == bench.text


def test_a_demo_car_that_is_changed_becomes_a_file_here_and_is_found_again(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    demo = Bench("teasel")
    assert demo.file is None
    demo.write(demo.text + "\n# ours\n", demo.digest)
    assert Bench("teasel").text.endswith("# ours\n")


def test_an_answer_is_made_once_and_a_failure_is_not_kept():
    answers, made = Answers(most=2), []

    def make():
        made.append(1)
        if len(made) == 1:
            raise RequestError("not yet")
        return len(made)

    asked = Asked(car="x")
    with pytest.raises(RequestError):
        answers.kept("q", asked, make)
    assert [answers.kept("q", asked, make) for _ in range(3)] == [2, 2, 2]
    assert answers.kept("q", Asked(car="y"), make) == 3


def test_positions_that_a_new_file_no_longer_allows_are_let_go(bench):
    bench.move("Ike", "watt_pivot", 2)
    bench.write(bench.text + "\n[adjusters.watt_pivot]\nhigh = 6\n", bench.digest)
    assert bench.positions == {}
    assert bench.car(Asked(car=bench.digest)).setup == {}


def test_what_stood_before_a_restart_is_put_back_once(bench):
    bench.take("Ike", FOUR, "as it stood", "request 1", first=True)
    bench.move("Bea", "watt_pivot", 1)
    bench.take("Bea", FOUR, "as it stood", "request 2", first=True)  # comes late: what was moved since stays
    assert bench.positions == {**FOUR, "watt_pivot": 6.0}


def test_a_move_that_waited_is_not_made_on_another_car(bench):
    bench.open("tansy")
    with pytest.raises(RequestError, match='found "tansy" on the bench; expected "teasel"'):
        bench.move("Ike", "pressure_rear", 1, "request 1", "teasel")
    bench.move("Ike", "pressure_rear", 1, "request 1", "tansy")
    assert bench.positions


def test_a_setup_saved_meanwhile_is_not_overwritten(bench):
    """Two people save at once: the text of the second is made from what the first has replaced."""
    app, began = application(bench, warm=False), bench.digest
    keep = {"who": "Bea", "car": began, "positions": FOUR, "on_car": False}
    assert ask(app, "POST", "/bench/keep", json={**keep, "name": "one"}).status_code == 200
    told = ask(app, "POST", "/bench/keep", json={**keep, "name": "two"})
    assert told.status_code == 422
    assert list(load(bench.file).setups) == ["one"]
