"""A report in a real browser: no complaint, nothing wider than the window, readable by night.

The browser is headless Chromium; a page of ours frames the report at the width of a telephone and
of a desk, and writes down what the browser has laid out.
"""

import json
import os
import re
import shutil
import subprocess

import pytest

from sewkit.files.picture import before_after
from sewkit.files.report_html import as_html
from sewkit.files.report_style import STYLE
from sewkit.files.svg import open_drawing
from sewkit.operation import find
from sewkit.report import Finding, Level, Report, Table

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
MASTER = "samples/waistcoat/master.svg"

needs_browser = pytest.mark.skipif(
    BROWSER is None and os.environ.get("SEWKIT_NEED_EDITOR") != "1", reason="there is no Chromium here"
)

LONG = Finding(
    "seam",
    Level.FAIL,
    "a-piece-with-a-very-long-name/and-an-edge-with-a-long-name-too is 12.5 mm longer than its partner.",
    "a-piece-with-a-very-long-name/and-an-edge-with-a-long-name-too",
    (1234.5, 678.9),
    "Make the other one longer, or this one as much shorter.",
)

# Both frames, what in them reaches beyond their width and cannot be wiped sideways.
FRAMES = """<!DOCTYPE html><meta charset="utf-8"><body>
<iframe id="small" width="380" height="900" src="{page}"></iframe>
<iframe id="large" width="1400" height="900" src="{page}"></iframe>
<script>
window.addEventListener('load', () => {{
  const told = {{}};
  for (const frame of document.querySelectorAll('iframe')) {{
    const doc = frame.contentDocument, wide = frame.contentWindow.innerWidth;
    const out = [...doc.body.querySelectorAll('*')].filter(
      one => one.getBoundingClientRect().right > wide + 0.5 && !one.closest('.drawing, .wide, thead'));
    told[frame.id] = {{
      wide, scroll: doc.documentElement.scrollWidth,
      out: out.map(one => one.tagName + ' ' + one.textContent.slice(0, 40)),
      items: doc.querySelectorAll('.findings li').length,
      letters: Math.min(...[...doc.querySelectorAll('p, li, td')].filter(one => one.offsetParent)
        .map(one => parseFloat(frame.contentWindow.getComputedStyle(one).fontSize))),
    }};
  }}
  document.title = 'TOLD' + JSON.stringify(told) + 'END';
}});
</script>"""


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """What the browser laid out, and what it complained of."""
    if BROWSER is None:
        pytest.fail("Chromium is missing")
    folder = tmp_path_factory.mktemp("page")
    drawing, chosen = open_drawing(MASTER)
    before = drawing.pattern
    outcome = find("lengthen").function(before, chosen, amount=20.0, at="chest/waist")
    picture = before_after(before, outcome.pattern, ["3"], "3", outcome.report.changes, "Waistcoat")
    wide = Table("Wide", tuple("a column {}".format(n) for n in range(12)), (("1234.56",) * 12,))
    report = outcome.report.then(Report(findings=(LONG,), tables=(wide,)))
    (folder / "report.html").write_text(as_html(report, "Waistcoat for P03", "chest 3", picture), "utf-8")
    (folder / "frames.html").write_text(FRAMES.format(page="report.html"), "utf-8")
    done = subprocess.run(
        [
            *(BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files"),
            *("--enable-logging=stderr", "--virtual-time-budget=4000", "--window-size=1500,1900"),
            *("--user-data-dir={}".format(folder / "profile"), "--dump-dom"),
            (folder / "frames.html").as_uri(),
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        timeout=120,
    )
    found = re.search(r"TOLD(\{.*?\})END", done.stdout.decode("utf-8"))
    assert found, done.stderr.decode("utf-8", "replace")[-2000:]
    complaints = [line for line in done.stderr.decode("utf-8", "replace").splitlines() if "CONSOLE" in line]
    return json.loads(found.group(1).replace("&quot;", '"')), complaints, len(report.findings)


@needs_browser
def test_the_browser_has_nothing_to_complain_of(told):
    assert told[1] == []


@needs_browser
@pytest.mark.parametrize("width", ["small", "large"])
def test_nothing_is_wider_than_the_window(told, width):
    seen = told[0][width]

    assert seen["scroll"] <= seen["wide"]
    assert seen["out"] == []
    assert seen["items"] == told[2]
    assert seen["letters"] >= 14.0  # px; smaller print is hard to read on a telephone


def _colours(part):
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{3,6});", part))


def _light(colour):
    """Relative luminance as WCAG 2.1 defines it."""
    digits = colour[1:] if len(colour) == 7 else "".join(sign * 2 for sign in colour[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one, other):
    """Contrast ratio as WCAG 2.1 defines it."""
    low, high = sorted((_light(one), _light(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("night", [False, True])
def test_text_stands_out_from_its_ground(night):
    day, dark = STYLE.split("@media (prefers-color-scheme: dark)", 1)
    colours = _colours(dark.split("\n}\n", 1)[0] if night else day)
    pairs = [(ink, "paper") for ink in ("ink", "quiet", "thread", "good", "note", "look")]
    pairs += [("ink", name + "-ground") for name in ("good", "note", "look", "stop")]
    pairs += [("ink", "unchecked"), ("stop-ink", "stop")]

    for ink, ground in pairs:
        assert _contrast(colours[ink], colours[ground]) >= 7.0, (ink, ground)


def test_on_paper_the_page_is_as_by_day():
    day, night = STYLE.split("@media (prefers-color-scheme: dark)", 1)
    printed = night.split("@media print", 1)[1]

    assert _colours(printed) == _colours(day)
