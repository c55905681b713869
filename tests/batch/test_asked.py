"""What a batch is asked for: what nobody can use is said before any work, what concerns one row is held."""

import pathlib
import sys

import pytest

from sewkit.batch.asked import read_cast
from sewkit.batch.one_row import Choices, make_row
from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.cast import DONE, HELD

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "samples" / "waistcoat"
PEOPLE, MASTER = str(SAMPLE / "people.csv"), str(SAMPLE / "master.svg")
CHART, RECIPE = str(SAMPLE / "chart.csv"), str(SAMPLE / "recipe.toml")


def people(folder, *rows):
    file = folder / "people.csv"
    file.write_text("\n".join(["who,chest,waist,back waist length,fits,fit sheet", *rows]) + "\n")
    return str(file)


@pytest.mark.parametrize(
    "more, words",
    [
        (["--only", "P02,P99"], "there is no 'P99' among the people"),
        (["--beyond", "P99"], "there is no 'P99' among the people"),
        (["--confirm", "P99=in"], "P99"),
        (["--jobs", "0"], "no number of jobs"),
        (["--jobs", "many"], "no number of jobs"),
        (["--executor", "cluster"], "Which cluster"),
        (["--chart", CHART, "--chart", CHART, "--chart", CHART], "1 masters and 4 charts"),
        (["--recipe", str(SAMPLE / "missing.toml")], "cannot be read"),
    ],
)
def test_what_cannot_be_used_is_told_in_a_sentence(more, words, tmp_path, capsys):
    status = main(["batch", PEOPLE, MASTER, "--chart", CHART, "-o", str(tmp_path / "cast"), *more])
    told = capsys.readouterr().err

    assert status == 2
    assert words in told and "Traceback" not in told
    assert not (tmp_path / "cast").exists()


@pytest.mark.parametrize(
    "master, words",
    [
        ("bought.pdf", "is a PDF"),
        ("people.csv", "cannot be read"),
        ("missing.svg", "cannot be read"),
    ],
)
def test_a_master_has_to_be_a_drawing_with_names(master, words):
    with pytest.raises(InputError) as fault:
        read_cast(PEOPLE, [str(SAMPLE / master)], [CHART])

    assert words in str(fault.value) or "SVG" in str(fault.value)


def test_bare_lines_and_a_missing_chart_are_told(tmp_path):
    bare = tmp_path / "bare.svg"
    bare.write_text('<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h10v10z"/></svg>')

    with pytest.raises(InputError, match="no line that is called like a size"):
        read_cast(PEOPLE, [str(bare)], [CHART])
    with pytest.raises(InputError, match="no size chart"):
        read_cast(PEOPLE, [MASTER])
    with pytest.raises(InputError, match="Two masters are called 'master'"):
        read_cast(PEOPLE, [MASTER, MASTER], [CHART])


def test_the_folder_is_asked_for_and_may_not_be_a_file(tmp_path, capsys):
    (tmp_path / "cast").write_text("mine")

    assert main(["batch", PEOPLE, MASTER, "--chart", CHART]) == 2
    assert "Where shall the packs go?" in capsys.readouterr().err
    assert main(["batch", PEOPLE, MASTER, "--chart", CHART, "-o", str(tmp_path / "cast")]) == 2
    assert "cannot be made" in capsys.readouterr().err
    assert (tmp_path / "cast").read_text() == "mine"


def test_the_extra_is_named_where_it_is_missing(monkeypatch, tmp_path, capsys):
    monkeypatch.setitem(sys.modules, "distributed", None)
    more = ["--executor", "cluster", "--address", "tcp://127.0.0.1:1", "-o", str(tmp_path)]

    assert main(["batch", PEOPLE, MASTER, "--chart", CHART, *more]) == 2
    assert "pip install '.[cluster]'" in capsys.readouterr().err


def test_a_cluster_that_does_not_answer_is_told(monkeypatch):
    distributed = pytest.importorskip("distributed")
    from sewkit.batch import executors

    def nobody(address, **_):
        raise OSError("Timed out trying to connect to {}".format(address))

    monkeypatch.setattr(distributed, "Client", nobody)
    with pytest.raises(InputError, match="No cluster answers at 'tcp://"):
        executors.cluster("tcp://10.0.0.9:8786")


def test_rows_that_would_share_a_folder_are_held(tmp_path):
    table = people(
        tmp_path,
        "A/B,88,74,43,,",
        "a-b,88,74,43,,",
        "...,88,74,43,,",
        "summary.csv,88,74,43,,",
        "C,88,74,43,,",
    )
    cast = read_cast(table, [MASTER], [CHART], [RECIPE], "")
    rows = [make_row(task) for task in cast.tasks]

    assert [row.state for row in rows] == [HELD, HELD, HELD, HELD, DONE]
    assert "a name of its own" in rows[0].words
    assert cast.tasks[4].place == "C"


def test_several_masters_give_a_folder_each_below_the_person(tmp_path):
    other = tmp_path / "second.svg"
    other.write_bytes((SAMPLE / "master.svg").read_bytes())
    more = [
        "--chart",
        CHART,
        "--recipe",
        RECIPE,
        "--only",
        "P02",
        "--jobs",
        "1",
        "--paper",
        "none",
        "-o",
        str(tmp_path / "cast"),
    ]

    assert main(["batch", PEOPLE, MASTER, str(other), *more]) == 0
    packs = sorted(str(p.parent.relative_to(tmp_path)) for p in tmp_path.rglob("pack.json"))
    assert [pathlib.PurePath(p).parts for p in packs] == [
        ("cast", "P02", "master"),
        ("cast", "P02", "second"),
    ]


def test_a_fit_sheet_of_the_person_s_own_is_read_beside_the_table(tmp_path):
    (tmp_path / "p01.toml").write_text(
        'who = "P01"\n\n[[need]]\nwords = "hollow back 12 mm"\n\n'
        '[[step]]\ndo = "allowance"\nwidth = "20 mm"\n'
    )
    table = people(tmp_path, "P01,88,74,43,,p01.toml", "P02,88,74,43,,missing.toml", "P03,88,74,43,,")
    cast = read_cast(table, [MASTER], [CHART], [RECIPE], str(tmp_path / "cast"), choices=Choices(paper=""))
    (tmp_path / "cast").mkdir()
    own, lost, plain = [make_row(task) for task in cast.tasks]

    assert "hollow back 12 mm" in own.made and own.state == plain.state == DONE
    assert lost.state == HELD and "Its fit sheet" in lost.words
    recipe = (tmp_path / "cast" / "P01" / "recipe.toml").read_text(encoding="utf-8")
    assert 'width = "20 mm"' in recipe and recipe.count('do = "allowance"') == 1
    assert own.geometry != plain.geometry
