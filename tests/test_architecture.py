"""The house rules that no single test of a part can see.

What flows through sewkit flows one way; each part keeps to its purpose; every file
runs on the oldest Python the editor brings; nothing names the machine it was made on.
"""

import ast
import pathlib
import subprocess
import sys

import pytest

ROOT = pathlib.Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "sewkit"

# Who may import whom inside sewkit.  A part may always import itself, but for operations:
# there, each file stands alone.
GROUND = {"errors", "units"}
MODEL = GROUND | {"geometry", "pattern", "body", "operation", "report"}
FILES = MODEL | {"operations", "checks", "sheet", "paper", "files"}
DOORS = FILES | {"batch", "cli", "arguments", "gallery", "editor"}
MAY_IMPORT = {
    "errors": set(),
    "units": {"errors"},
    "geometry": {"geometry"},
    "pattern": GROUND | {"geometry", "pattern"},
    "body": GROUND | {"geometry", "body"},
    "report": GROUND,
    "kinds": GROUND,
    "operation": GROUND | {"kinds", "report"},
    "checks": MODEL | {"checks"},
    "operations": MODEL | {"checks", "sheet", "paper"},
    "sheet": MODEL | {"sheet"},
    "paper": MODEL | {"paper"},
    "files": FILES,
    "batch": DOORS,
    "cli": DOORS,
    "arguments": DOORS,
    "gallery": DOORS,
    "editor": DOORS,
    "__init__": FILES,  # names of the package that are looked up on first use
    "__main__": DOORS,
}

# Only these may be imported from outside Python's own library, and where.
OUTSIDE = {
    "numpy": set(MAY_IMPORT),
    "lxml": {"files", "editor", "batch", "cli", "gallery"},
    "tomli": {"files"},
    "pypdf": {"files"},
    "ezdxf": {"files"},
    "spyrrow": {"sheet", "files"},
    "distributed": {"batch"},
    "rich": {"batch", "cli"},
    "inkex": {"editor"},
}
PURE = {"errors", "units", "report", "kinds", "operation"}
PURE |= {"geometry", "pattern", "body", "operations", "checks", "sheet", "paper"}

# What touches the world: calls by bare name, and modules that are about nothing else.
WORLDLY_CALLS = {"open", "print", "input"}
WORLDLY_MODULES = {"time", "datetime", "random", "secrets", "socket", "subprocess", "tempfile", "logging"}
WORLDLY_NUMPY = {"load", "save", "savez", "savetxt", "loadtxt", "fromfile", "tofile", "random"}

MODULE_LINES, FUNCTION_LINES = 400, 60

MODULES = sorted(PACKAGE.rglob("*.py"))
SCRIPTS = sorted((ROOT / "extensions").glob("*.py"))


def shown(file):
    return str(file.relative_to(ROOT))


def part_of(file):
    """The part a file belongs to: "geometry" for sewkit/geometry/path.py, "units" for sewkit/units.py."""
    return file.relative_to(PACKAGE).parts[0].replace(".py", "")


def tree_of(file):
    return ast.parse(file.read_text(encoding="utf-8"), str(file))


def imported(tree):
    """The full dotted names that a module imports, wherever in it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, "imports are written out in full"
            for alias in node.names:
                yield "{}.{}".format(node.module, alias.name)


def standard(module):
    """Whether a module is of Python's own library; a short list where Python cannot tell (before 3.10)."""
    names = getattr(sys, "stdlib_module_names", None)
    if names is not None:
        return module in names
    return module not in OUTSIDE and module not in {"scipy", "shapely", "PIL", "gi", "pytest", "hypothesis"}


def functions(tree):
    return [n for n in ast.walk(tree) if isinstance(n, (ast.FunctionDef, ast.AsyncFunctionDef))]


def lines_of(function):
    """A function's lines without its docstring, which for an operation is a page of help."""
    said = function.body[0] if ast.get_docstring(function) else None
    spoken = said.end_lineno - said.lineno + 1 if said is not None else 0
    return function.end_lineno - function.lineno + 1 - spoken


@pytest.mark.parametrize("file", MODULES, ids=shown)
def test_imports_point_down_only(file):
    part = part_of(file)
    assert part in MAY_IMPORT, "a new part: say in the table what it may import"

    wrong = []
    for name in imported(tree_of(file)):
        top, _, rest = name.partition(".")
        if top == "sewkit":
            inner = rest.split(".")[0]
            own_name = part == "operations" and inner == "operations"
            package_itself = inner not in MAY_IMPORT  # from sewkit import __version__
            if own_name or not (package_itself or inner in MAY_IMPORT[part] or inner == part):
                wrong.append(name)
        elif not standard(top) and part not in OUTSIDE.get(top, set()):
            wrong.append(name)

    assert wrong == []


@pytest.mark.parametrize("file", SCRIPTS, ids=shown)
def test_extension_scripts_import_the_editor_door_and_operations_only(file):
    helpers = {script.stem for script in SCRIPTS if script.name.startswith("_")}
    if file.stem in helpers:  # they look whether the editor brought what is needed
        helpers |= {"numpy", "lxml", "inkex"}

    for name in imported(tree_of(file)):
        top, _, rest = name.partition(".")
        door = top == "sewkit" and rest.split(".")[0] in {"", "editor", "operations"}
        assert door or top in helpers or standard(top), name


@pytest.mark.parametrize("file", [f for f in MODULES if part_of(f) in PURE], ids=shown)
def test_nothing_above_files_opens_prints_or_reads_the_clock(file):
    tree = tree_of(file)

    for name in imported(tree):
        assert name.split(".")[0] not in WORLDLY_MODULES, name
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in WORLDLY_CALLS, "line {}: {}()".format(node.lineno, node.func.id)
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            touches = node.value.id in ("np", "numpy") and node.attr in WORLDLY_NUMPY
            touches = touches or (node.value.id, node.attr) in {("sys", "stdout"), ("sys", "stderr")}
            assert not touches, "line {}: {}.{}".format(node.lineno, node.value.id, node.attr)


@pytest.mark.parametrize("file", MODULES, ids=shown)
def test_every_public_name_says_what_it_is_and_gives(file):
    tree = tree_of(file)
    lacking = []
    assert ast.get_docstring(tree) or not tree.body, "the module has no docstring"

    def look(body, inherits):
        for node in body:
            if not isinstance(node, (ast.FunctionDef, ast.ClassDef)) or node.name.startswith("_"):
                continue
            # A method that takes the place of a base class's one means the same.
            if not ast.get_docstring(node) and not (inherits and isinstance(node, ast.FunctionDef)):
                lacking.append("{}: docstring".format(node.name))
            if isinstance(node, ast.ClassDef):
                named = {getattr(base, "id", getattr(base, "attr", "")) for base in node.bases}
                look(node.body, bool(named - {"NamedTuple", "Enum", "IntEnum", "object"}))
            elif node.returns is None:
                lacking.append("{}: return annotation".format(node.name))

    look(tree.body, False)
    assert lacking == []


@pytest.mark.parametrize("file", MODULES + SCRIPTS, ids=shown)
def test_modules_and_functions_stay_readable(file):
    text = file.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= MODULE_LINES

    long = [
        "{} has {} lines".format(f.name, lines_of(f))
        for f in functions(ast.parse(text))
        if lines_of(f) > FUNCTION_LINES
    ]
    assert long == []


@pytest.mark.parametrize("file", MODULES + SCRIPTS, ids=shown)
def test_every_file_is_python_3_8(file):
    text = file.read_text(encoding="utf-8")

    tree = ast.parse(text, str(file), feature_version=(3, 8))

    # What parses on 3.8 and still fails there: annotations such as list[int] and int | None.
    # (Those in quotes are text and may be newer.)
    late = []
    for node in ast.walk(tree):
        for written in (getattr(node, "annotation", None), getattr(node, "returns", None)):
            for inner in ast.walk(written) if isinstance(written, ast.AST) else ():
                builtin = isinstance(inner, ast.Subscript) and isinstance(inner.value, ast.Name)
                if builtin and inner.value.id in {"list", "dict", "tuple", "set", "frozenset", "type"}:
                    late.append("line {}: {}[...]".format(inner.lineno, inner.value.id))
                if isinstance(inner, ast.BinOp) and isinstance(inner.op, ast.BitOr):
                    late.append("line {}: ... | ...".format(inner.lineno))
    assert late == []


def test_all_but_the_editor_door_works_without_the_editor():
    """Import every module outside sewkit/editor where inkex does not exist."""
    names = [
        ".".join(file.relative_to(ROOT).with_suffix("").parts).replace(".__init__", "")
        for file in MODULES
        if part_of(file) != "editor" and file.name != "__main__.py"
    ]
    program = (
        "import sys, importlib\n"
        "sys.modules['inkex'] = None\n"
        "for name in {!r}: importlib.import_module(name)\n"
        "from sewkit.operations import load\n"
        "load()\n"
        "heavy = {{'scipy', 'shapely', 'pypdf', 'ezdxf', 'distributed', 'rich'}} & set(sys.modules)\n"
        "assert not heavy, 'imported before it is needed: {{}}'.format(heavy)\n"
    ).format(names)

    done = subprocess.run(
        [sys.executable, "-W", "error::SyntaxWarning", "-c", program],
        cwd=str(ROOT),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=120,
    )

    assert done.returncode == 0, done.stdout
    assert done.stdout == ""


def tracked():
    """The project's files as git lists them; all of the source where there is no git."""
    try:
        command = ["git", "ls-files", "-z"]
        listed = subprocess.run(command, cwd=str(ROOT), stdout=subprocess.PIPE, timeout=60)
        names = listed.stdout.decode("utf-8").split("\0") if listed.returncode == 0 else []
    except OSError:
        names = []
    if any(names):
        return [ROOT / name for name in names if name and (ROOT / name).is_file()]
    folders = ("sewkit", "extensions", "tests", "samples")
    return [file for folder in folders for file in (ROOT / folder).rglob("*") if file.is_file()]


def test_no_file_names_the_machine_it_was_made_on():
    # Put together here, so that this file does not find itself.
    private = ["/{}/".format(word) for word in ("work", "root", "tmp/venv")] + ["seed " + "document"]
    lent = "shared" + "/"
    found = []
    for file in tracked():
        try:
            text = file.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue  # a picture or a PDF
        helper = file.relative_to(ROOT).parts[:1] == ("tests",) and file.stem in ("data", "conftest")
        words = private if helper else [*private, lent]
        found += ["{}: {}".format(shown(file), word) for word in words if word in text]

    assert found == []


def test_there_is_something_to_look_at():
    """The tables above would pass on an empty folder; this would not."""
    assert len(MODULES) > 20
    assert {part_of(file) for file in MODULES} <= set(MAY_IMPORT)
    assert all(part in OUTSIDE["numpy"] for part in PURE)
