"""A whole run of an extension on sixteen outlines, against one that does nothing.

    python tests/bench/bench_extension.py [RUNS]

Both are started as the editor starts them, one after the other in turn, with this
Python, so that a slow moment of the machine meets both.  Prints medians and their ratio.
"""

import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
NOTHING = """
import sys

sys.path.insert(0, {extensions!r})
import _where
import inkex

class Nothing(inkex.EffectExtension):
    def effect(self):
        return True

    def has_changed(self, ret):
        return True

Nothing().run()
"""
# A bodice half with two curves; sixteen stand in a grid of four by four.
OUTLINE = "M {x},{y} m 0,80 c 45,-2 70,-35 70,-80 l 120,45 c -30,65 -25,183 60,185 l -40,210 h -210 z"


def main() -> None:
    """Time both and print one line each."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        drawing, nothing = folder / "sixteen.svg", folder / "nothing.py"
        drawing.write_text(sixteen(), encoding="utf-8")
        nothing.write_text(NOTHING.format(extensions=str(ROOT / "extensions")), encoding="utf-8")
        script = ROOT / "extensions" / "sew_allowance.py"
        ids = ["--id=p{}".format(number) for number in range(16)]
        commands = [
            [sys.executable, str(nothing), *ids],
            [sys.executable, str(script), *ids, "--width=10"],
        ]
        times = [[], []]
        for turn in range(runs + 1):
            for number, command in enumerate(commands):
                seconds = timed([*command, str(drawing), "--output=" + str(folder / "out.svg")])
                if turn:
                    times[number].append(seconds)
    medians = [statistics.median(one) for one in times]
    ratio = statistics.median(b / a for a, b in zip(*times))
    print("does nothing        {:7.1f} ms".format(medians[0] * 1000))
    print("seam allowance x 16 {:7.1f} ms".format(medians[1] * 1000))
    print("ratio, median of {} pairs: {:.2f} (aim: 1.25 at most)".format(runs, ratio))


def sixteen() -> str:
    """A drawing in mm with sixteen bare outlines."""
    paths = "".join(
        '<path id="p{}" style="fill:none;stroke:#000" d="{}"/>'.format(
            number, OUTLINE.format(x=20 + 300 * (number % 4), y=20 + 500 * (number // 4))
        )
        for number in range(16)
    )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="1300mm" height="2100mm" viewBox="0 0 1300 2100">'
        + paths
        + "</svg>"
    )


def timed(command: list) -> float:
    """Seconds that one run takes; it must succeed and write."""
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
