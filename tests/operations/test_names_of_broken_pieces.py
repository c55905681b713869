"""The check of names tells of every piece that cannot be read; nothing else works on a part."""

import io

import pytest

from sewkit.errors import InputError
from sewkit.files.job import run_job
from sewkit.files.recipe import RecipeStep
from sewkit.files.svg import open_drawing
from sewkit.operation import Step, find
from sewkit.operations import load

load()
SHEET = (
    b'<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" width="300mm" height="300mm"'
    b' viewBox="0 0 300 300">'
    b'<g sewkit:piece="front" sewkit:cut="two"><path sewkit:role="seam-line" d="M0,0 h50 v50 h-50 z"/></g>'
    b'<g sewkit:piece="back"><path sewkit:role="seam-line" d="M100,0 h50 v50 h-50 z"/></g>'
    b'<g sewkit:piece="back"><path sewkit:role="seam-line" d="M200,0 h50 v50 h-50 z"/></g></svg>'
)


def step(name, **values):
    return RecipeStep(Step(find(name), values))


@pytest.mark.parametrize("action", ["check", "show", "hide"])
def test_every_broken_piece_is_told_once(action):
    done = run_job(io.BytesIO(SHEET), [step("names", action=action)])

    for words in ("'two'", "Two groups are both called the piece 'back'"):
        assert sum(words in finding.text for finding in done.report.findings) == 1


def test_who_means_everything_gets_no_part_of_it():
    with pytest.raises(InputError, match="'two'"):
        run_job(io.BytesIO(SHEET), [step("allowance")])


def test_picking_a_broken_piece_by_name_says_what_is_wrong_with_it():
    with pytest.raises(InputError, match="Two groups"):
        open_drawing(io.BytesIO(SHEET), pieces=["back"])
