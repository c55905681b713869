"""Recipes: every operation is read back as it was written; mistakes name their step."""

import re
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.errors import FileError, InputError
from sewkit.files.recipe import Recipe, RecipeStep, parse_recipe, read_recipe, write_recipe
from sewkit.operation import Choice, Count, Flag, Length, LengthsByName, Number, Step, find
from sewkit.operations import load

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

OPERATIONS = load()


def unusual(param):
    """A value that fits and is not the default."""
    kind = param.kind
    if isinstance(kind, Flag):
        return not param.default
    if isinstance(kind, Choice):
        return next(word for word in kind.options if word != param.default)
    if isinstance(kind, LengthsByName):
        return {"side": 0.7 * kind.one.most, "hem-left": kind.one.least}
    if isinstance(kind, Count):
        return int(kind.most if param.default != kind.most else kind.least)
    if isinstance(kind, Number):
        return kind.least + (kind.most - kind.least) * 0.3712345678
    return 'neck "a" \\ ~b\tc é'


@pytest.mark.parametrize("one", OPERATIONS, ids=lambda one: one.name)
def test_every_operation_with_every_value_is_read_back(one):
    values = {param.name: unusual(param) for param in one.params}
    step = RecipeStep(Step(one, values), ("a b", "c:1"), ("p:0:1",), ("front",), ("3", "P01"))
    again = parse_recipe(write_recipe(Recipe('For "P03"\n', (step, RecipeStep(Step(one, {}))))))

    assert again.title == 'For "P03"\n'
    first, second = again.steps
    assert first._replace(step=None) == step._replace(step=None)
    assert first.step.operation is one and second == RecipeStep(Step(one, {}))
    assert set(first.step.values) == set(values)
    for name, value in values.items():
        near = isinstance(value, (float, dict))
        assert first.step.values[name] == (pytest.approx(value, rel=1e-11) if near else value), name
    lengths = [param.name for param in one.params if isinstance(param.kind, Length)]
    assert all('{} = "'.format(name) in write_recipe(again) for name in lengths)


@given(st.text(max_size=30), st.text(max_size=30))
@settings(max_examples=100, deadline=None)
def test_any_text_is_written_so_that_it_is_read_back(title, words):
    words = words.encode("utf-8", "ignore").decode()
    title = title.encode("utf-8", "ignore").decode()
    step = RecipeStep(Step(find("name"), {"edges": words.strip()}), ids=(words,))

    assert parse_recipe(write_recipe(Recipe(title, (step,)))) == Recipe(title, (step,))


def test_people_write_it_by_hand():
    recipe = parse_recipe(
        'title = "Twelve waistcoats"\n'
        "[[step]]\ndo = 'size'\nsize-kept = 3\npieces = 'front back'\nsizes = [3, 4]\n"
        "[[step]]\ndo = 'allowance'\nwidth = '5/8in'\nedges = 'side=1in'\n"
    )

    kept, allowance = recipe.steps
    assert kept.step.values == {"size_kept": "3"}
    assert (kept.pieces, kept.sizes) == (("front", "back"), ("3", "4"))
    assert allowance.step.values["width"] == 15.875
    assert parse_recipe("") == Recipe()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "[[step]]\ndo = 'size'\n[[step]]\ndo = 'alowance'",
            "Step 2 of the recipe (alowance): .*Did you mean allowance",
        ),
        (
            "[[step]]\ndo = 'allowance'\nwidht = 5",
            "Step 1 of the recipe (allowance): .*'widht'. Did you mean width",
        ),
        ("[[step]]\ndo = 'allowance'\nxyzzy = 5", "It takes: .*width"),
        (
            "[[step]]\ndo = 'allowance'\nwidth = 'wide'",
            "Step 1 of the recipe (allowance): 'wide' is not a length",
        ),
        ("[[step]]\ndo = 'allowance'\nwidth = true", "Width: True does not fit"),
        ("[[step]]\ndo = 'allowance'\nwidth = [1]", "does not fit"),
        ("[[step]]\ndo = 'allowance'\nwidth = 1979-05-27", "does not fit"),
        ("[[step]]\ndo = 'allowance'\ncorners = ['square']", "does not fit"),
        ("[[step]]\ndo = 'size'\nsize_kept = {a = 1}", "does not fit"),
        ("[[step]]\ndo = 'size'\nsize_kept = 3\nsize-kept = 4", "says twice"),
        ("[[step]]\ndo = 'size'\npieces = 5", "'pieces' is not a list of names"),
        ("[[step]]\ndo = 'size'\nids = [['a']]", "'ids' is not a list of names"),
        ("[[step]]\nwidth = 5", "Step 1 of the recipe does not say what to do"),
        ("[[step]]\ndo = 5", "does not say what to do"),
        ("step = 5", "[[step]]"),
        ("step = [1, 2]", "[[step]]"),
        ("[step]\ndo = 'size'", "[[step]]"),
        ("steps = []", "A recipe has no 'steps'"),
        ("[[step]", "cannot be read"),
    ],
)
def test_mistakes_are_one_sentence_that_names_the_step(text, told):
    with pytest.raises(InputError) as refused:
        parse_recipe(text)
    pattern = ".*".join(re.escape(part) for part in told.split(".*"))
    assert re.search(pattern, str(refused.value))
    assert "\n" not in str(refused.value)


def test_files_that_are_no_recipes_are_told(tmp_path):
    binary = tmp_path / "binary.toml"
    binary.write_bytes(b"\xff\xfe\x00title")
    for name in (tmp_path / "missing.toml", tmp_path, binary):
        with pytest.raises(FileError):
            read_recipe(name)


def test_a_byte_order_mark_is_no_trouble(tmp_path):
    file = tmp_path / "from-notepad.toml"
    file.write_bytes(b"\xef\xbb\xbftitle = 'Waistcoat'\r\n")

    assert read_recipe(file).title == "Waistcoat"
