"""How fast a cast is fitted, on one core and on two, and whether many people need more memory than few.

    python tests/bench/bench_batch.py              40 people for the speed, 200 for the memory
    python tests/bench/bench_batch.py --people 1000

The people are made up, spread evenly over the size chart of the sample, from the same
numbers every time.  Speed on two cores is worth something only where nobody else uses them.
"""

import argparse
import multiprocessing
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from sewkit.batch.asked import read_cast  # noqa: E402
from sewkit.batch.cast import make_cast  # noqa: E402
from sewkit.batch.executors import processes  # noqa: E402
from sewkit.batch.progress import Progress  # noqa: E402
from sewkit.files.cast import DONE  # noqa: E402

SAMPLE = ROOT / "samples" / "waistcoat"
MEGABYTE = 1024.0 * 1024.0


def people(folder: pathlib.Path, count: int) -> str:
    """A table of so many people; one in three has a waist of another size, one in three another length."""
    chance = random.Random(20)
    rows = ["who,chest,waist,back waist length"]
    for number in range(count):
        chest = chance.uniform(88, 119)
        waist = chest - 14 + chance.choice((0, 0, 5))
        length = 43 + (chest - 88) / 8 + chance.choice((0, 0, 2))
        rows.append("Q{:04d},{:.1f},{:.1f},{:.1f}".format(number, chest, waist, length))
    table = folder / "people-{}.csv".format(count)
    table.write_text("\n".join(rows) + "\n")
    return str(table)


class Watched(Progress):
    """Notes how much memory this process and its workers have whenever a row is done."""

    def __init__(self, of: int) -> None:
        super().__init__(of)
        self.memory = []

    def tell(self, done: int, what: str) -> None:
        super().tell(done, what)
        workers = [child.pid for child in multiprocessing.active_children()]
        self.memory.append([resident(os.getpid()), max(map(resident, workers), default=0.0)])


def resident(process: int) -> float:
    """Memory of a process (MB); 0 where the system does not tell."""
    try:
        with open("/proc/{}/statm".format(process)) as stream:
            return int(stream.read().split()[1]) * os.sysconf("SC_PAGE_SIZE") / MEGABYTE
    except (OSError, ValueError, AttributeError):
        return 0.0


def run(folder: pathlib.Path, count: int, jobs: int):
    """Fit so many people; gives the seconds it took, those of processors, and the memory as it grew."""
    place = pathlib.Path(tempfile.mkdtemp(dir=str(folder)))
    table = people(folder, count)
    files = [[str(SAMPLE / name)] for name in ("master.svg", "chart.csv", "recipe.toml")]
    cast = read_cast(table, *files, str(place))
    began, used = time.perf_counter(), worked()
    with Watched(count) as progress:
        rows = make_cast(cast.tasks, lambda: processes(jobs), jobs, progress)
    seconds, work = time.perf_counter() - began, worked() - used
    bad = [row for row in rows if row.state != DONE]
    if bad:
        print("  {} rows without a pack; the first: {} {}".format(len(bad), bad[0].who, bad[0].words))
    return seconds, work, progress.memory


def worked() -> float:
    """Seconds of processors that this process and its ended children have used."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def start() -> float:
    """What it costs to start Python with all that a batch needs (s), the least of five."""
    found = []
    for _ in range(5):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-c", "import sewkit.batch.one_row"], check=True, cwd=str(ROOT))
        found.append(time.perf_counter() - began)
    return min(found)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--people", type=int, default=200, help="how many for the memory")
    parser.add_argument("--few", type=int, default=40, help="how many for the speed")
    options = parser.parse_args()
    if hasattr(os, "getloadavg"):
        print("load before this began: {:.1f}".format(os.getloadavg()[0]))
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        once = start()
        alone, alone_work, _ = run(folder, options.few, 1)
        both, both_work, _ = run(folder, options.few, 2)
        told = "{} packs, {} at a time: {:.2f} a second, {:.2f} s of processor each"
        print(told.format(options.few, "one", options.few / alone, alone_work / options.few))
        print(told.format(options.few, "two", options.few / both, both_work / options.few))
        print("  of twice the speed: {:.0f} %".format(100 * alone / both / 2))
        print(
            "  of the processor time, where others use them too: {:.0f} %".format(
                100 * alone_work / both_work
            )
        )
        print("starting Python once: {:.2f} s; a pack: {:.2f} s".format(once, alone / options.few))
        seconds, work, memory = run(folder, options.people, 2)
        print(told.format(options.people, "two", options.people / seconds, work / options.people))
        for part in (0.1, 0.5, 1.0):
            here, worker = memory[max(int(part * len(memory)) - 1, 0)]
            words = "  after {:.0f} %: {:.0f} MB here, {:.0f} MB in the larger worker"
            print(words.format(100 * part, here, worker))


if __name__ == "__main__":
    main()
