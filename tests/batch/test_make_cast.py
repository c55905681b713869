"""One bad row never stops another: what happens to rows that fail, and to executors that break down."""

import pathlib
import sys
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool

import pytest

from sewkit.batch import cast as cast_module
from sewkit.batch import one_row
from sewkit.batch.asked import read_cast
from sewkit.batch.cast import make_cast
from sewkit.batch.executors import Here
from sewkit.batch.one_row import Choices, Garment, Task, make_row
from sewkit.batch.progress import Progress, remaining
from sewkit.body.body import Body
from sewkit.cli import main
from sewkit.errors import FileError
from sewkit.files.cast import DONE, FAILED, HELD, LEFT, CastRow
from sewkit.files.cast_summary import recut_words
from sewkit.report import Level

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat"
FILES = [str(SAMPLE / "people.csv"), [str(SAMPLE / "master.svg")], [str(SAMPLE / "chart.csv")]]
FILES.append([str(SAMPLE / "recipe.toml")])
UNPRINTED = Choices(paper="")  # printed sheets take time, and have tests of their own
GARMENT = Garment("coat", "Coat", b"", "size,chest\n1,90\n2,100\n", "")


def tasks(count):
    return [Task(Body("P{}".format(i), {}), GARMENT, Choices(), "", "") for i in range(count)]


def quick(task):
    return CastRow(task.body.who, task.garment.title, DONE)


def run(jobs, start, workers=2):
    return make_cast(jobs, start, workers, Progress(len(jobs), False))


# -- rows -----------------------------------------------------------------------------------


def test_a_row_with_a_fault_nobody_foresaw_fails_alone_and_in_one_sentence(monkeypatch, tmp_path, capsys):
    good = one_row.fit_person

    def falls(master, body, *more):
        if body.who == "P02":
            raise ZeroDivisionError("float division by zero")
        return good(master, body, *more)

    monkeypatch.setattr(one_row, "fit_person", falls)
    words = ["batch", *FILES[:1], *FILES[1], "--chart", *FILES[2], "--recipe", *FILES[3]]
    status = main([*words, "-o", str(tmp_path), "--only", "P01,P02", "--jobs", "1", "--paper", "none"])
    told = capsys.readouterr()

    assert status == 2
    assert (tmp_path / "P01" / "pack.json").is_file() and not (tmp_path / "P02").exists()
    assert "not made for (ZeroDivisionError: float division by zero)" in " ".join(told.out.split())
    assert "Traceback" not in told.out + told.err
    assert "failed" in (tmp_path / "summary.html").read_text(encoding="utf-8")


def test_a_pack_that_cannot_be_written_fails_and_what_stands_there_stays(tmp_path):
    (tmp_path / "P02").mkdir()
    (tmp_path / "P02" / "letter.txt").write_text("mine")
    cast = read_cast(*FILES, str(tmp_path), ["P02"], choices=UNPRINTED)
    row = make_row(cast.tasks[1])

    assert row.state == FAILED and "holds other things" in row.words
    assert [p.name for p in (tmp_path / "P02").iterdir()] == ["letter.txt"]


def test_who_is_not_asked_for_keeps_the_row_of_the_pack_that_is_there(tmp_path):
    """P02 alone is asked for, and on other paper: P01's pack is another's work then, and still is told."""
    made = make_row(read_cast(*FILES, str(tmp_path), ["P01"], choices=UNPRINTED).tasks[0])
    dated = UNPRINTED._replace(date="2026-11-29")
    row = make_row(read_cast(*FILES, str(tmp_path), ["P02"], choices=dated).tasks[0])

    assert (row.state, row.folder, row.sizes, row.shapes) == (DONE, "P01", made.sizes, made.shapes)
    assert row.told[0].startswith("Not made this time") and row.told[1:] == made.told
    assert row.light == Level.WARN

    (tmp_path / "P01" / "pieces.svg").write_text("spoiled")
    row = make_row(read_cast(*FILES, str(tmp_path), ["P02"], choices=dated).tasks[0])
    assert row.state == LEFT and "older one" in row.words


def test_a_row_that_is_held_tells_of_the_older_pack_that_lies_there(tmp_path):
    cast = read_cast(*FILES, str(tmp_path), ["P01"], choices=UNPRINTED)
    assert make_row(cast.tasks[0]).state == DONE
    worse = cast.tasks[0]._replace(body=cast.tasks[0].body._replace(measures={"chest": 88.0, "waist": 740.0}))
    row = make_row(worse)

    assert row.state == HELD
    assert "folder P01 is an older one: do not cut from it" in row.words


def test_other_measures_make_a_new_pack_and_tell_what_to_cut_again(tmp_path):
    task = read_cast(*FILES, str(tmp_path), ["P02"], choices=UNPRINTED).tasks[1]
    first = make_row(task)
    # A hollow back takes a wedge out of the back and leaves the front and its facing alone.
    hollow = task._replace(body=task.body._replace(fits=("hollow back 12 mm",)))
    again = make_row(hollow)
    shown = make_row(
        hollow._replace(choices=UNPRINTED._replace(show="The Miser"))
    )  # other labels, the same pieces

    assert (first.kept, again.kept, shown.kept) == (False, False, False)
    assert (first.recut, again.recut, shown.recut) == (None, ("back",), ())
    assert recut_words([first, again, shown]) == (
        "P02: cut back again; front and front-facing as cut before.",
        "P02: back and front and front-facing as cut before.",
    )


def test_a_pack_of_other_measures_is_made_anew_and_one_of_the_same_is_kept(tmp_path):
    task = read_cast(*FILES, str(tmp_path), ["P02"], choices=UNPRINTED).tasks[1]
    first = make_row(task)
    larger = task._replace(body=task.body._replace(measures={"chest": 1000.0, "waist": 860.0}))
    again = make_row(larger)

    assert (first.kept, again.kept, make_row(larger).kept) == (False, False, True)
    assert (first.sizes[0].size, again.sizes[0].size) == ("2", "4")  # the chart: 92 and 100 cm


# -- executors ------------------------------------------------------------------------------


class Breaks(Executor):
    """Breaks down for good as soon as it is given a certain row."""

    started = 0

    def __init__(self, bad):
        self.bad, self.broken = bad, False
        Breaks.started += 1

    def submit(self, function, task):
        if self.broken:
            raise BrokenProcessPool("broken")
        future = Future()
        self.broken = task.body.who == self.bad
        if self.broken:
            future.set_exception(BrokenProcessPool("broken"))
        else:
            future.set_result(function(task))
        return future


@pytest.mark.parametrize("bad", ["P0", "P3", "P9"])
def test_a_worker_that_dies_takes_only_its_own_row_with_it(monkeypatch, bad):
    monkeypatch.setattr(cast_module, "make_row", quick)
    rows = run(tasks(10), lambda: Breaks(bad))

    assert [row.who for row in rows] == ["P{}".format(i) for i in range(10)]
    assert [row.who for row in rows if row.state == FAILED] == [bad]
    assert "ended without a word" in next(row.words for row in rows if row.state == FAILED)


def test_any_executor_serves_and_rows_keep_their_order(monkeypatch):
    import time

    def slow_first(task):
        time.sleep(0.05 if task.body.who == "P0" else 0.0)
        return quick(task)

    monkeypatch.setattr(cast_module, "make_row", slow_first)
    rows = run(tasks(6), lambda: ThreadPoolExecutor(3), 3)

    assert [row.who for row in rows] == ["P{}".format(i) for i in range(6)]
    assert run([], lambda: Here()) == ()


def test_no_more_rows_wait_than_the_workers_need(monkeypatch):
    most = []

    class Counts(Here):
        waiting = 0

        def submit(self, function, task):
            Counts.waiting += 1
            most.append(Counts.waiting)
            return super().submit(function, task)

    def done(task):
        return quick(task)

    monkeypatch.setattr(cast_module, "make_row", done)
    real = cast_module._result

    def taken(future, task):
        Counts.waiting -= 1
        return real(future, task)

    monkeypatch.setattr(cast_module, "_result", taken)
    run(tasks(50), Counts, 3)

    assert max(most) <= 3 * cast_module._AHEAD


def test_what_cannot_be_sent_is_a_failed_row(monkeypatch):
    class Unsendable(Here):
        def submit(self, function, task):
            future = Future()
            future.set_exception(TypeError("cannot pickle"))
            return future

    rows = run(tasks(2), Unsendable)

    assert [row.state for row in rows] == [FAILED, FAILED]
    assert "cannot pickle" in rows[0].words


# -- progress -------------------------------------------------------------------------------


def test_the_time_that_remains_is_told_once_it_is_known():
    assert remaining(0, 12, 3.0) == "0 of 12 done"
    assert remaining(4, 12, 10.0) == "4 of 12 done, about 20 s to go"  # 10 s for 4, so 20 for 8
    assert remaining(10, 1000, 10.0) == "10 of 1000 done, about 16 min to go"  # 990 s
    assert remaining(12, 12, 30.0) == "12 of 12 done"


def test_nothing_is_told_where_nobody_watches(capsys):
    with Progress(3) as progress:
        progress.tell(1, "P01")

    assert capsys.readouterr().err == ""


def test_a_line_is_told_without_the_extra(monkeypatch, capsys):
    for name in ("rich", "rich.console", "rich.progress"):
        monkeypatch.setitem(sys.modules, name, None)
    with Progress(3, True) as progress:
        progress.tell(1, "P01")

    assert "1 of 3 done" in capsys.readouterr().err


def test_a_fault_of_the_file_is_no_fault_of_the_measures(monkeypatch):
    def full(*_, **__):
        raise FileError("The disk is full.", code="file")

    monkeypatch.setattr(one_row, "fit_person", full)
    task = read_cast(*FILES, "", ["P01"]).tasks[0]

    assert make_row(task).state == FAILED
