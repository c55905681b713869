"""All rows of a cast by any executor, in whatever order they are done; the rows keep theirs."""

from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from typing import Callable, Dict, Iterator, List, Sequence, Tuple

from sewkit.batch.one_row import Task, make_row
from sewkit.batch.progress import Progress
from sewkit.files.cast import FAILED, CastRow

# Rows that wait with an executor for each of its workers: enough that none stands idle, few
# enough that a cast of thousands needs no more memory than one of ten.
_AHEAD = 2

_ENDED = (
    "The process that made this row ended without a word, perhaps for want of memory; "
    "the other rows are not concerned."
)


def make_cast(
    tasks: Sequence[Task], start: Callable[[], Executor], workers: int, progress: Progress
) -> Tuple[CastRow, ...]:
    """Do all rows; they come back in the order of the tasks.

    Args:
        start: gives the executor; called again where one has broken down.
        workers: how many rows it can do at a time.
    """
    rows: Dict[int, CastRow] = {}
    waiting = list(range(len(tasks)))
    while waiting:
        for number, row in _done(tasks, waiting, start, workers * _AHEAD):
            rows[number] = row
            progress.tell(len(rows), row.who)
        # A worker died, and nobody knows over which of the rows it had: each gets one of its own.
        waiting = [number for number in waiting if number not in rows]
        for number in waiting[: workers * _AHEAD]:
            alone = dict(_done(tasks, [number], start, 1))
            rows[number] = alone.get(number) or _ended(tasks[number])
            progress.tell(len(rows), rows[number].who)
        waiting = [number for number in waiting if number not in rows]
    return tuple(rows[number] for number in range(len(tasks)))


def _done(
    tasks: Sequence[Task], numbers: Sequence[int], start: Callable[[], Executor], ahead: int
) -> Iterator[Tuple[int, CastRow]]:
    """Rows as they are done; ends early where the executor breaks down."""
    to_come = iter(numbers)
    running: Dict[Future[CastRow], int] = {}
    with start() as executor:
        try:
            while True:
                for number in to_come:
                    running[executor.submit(make_row, tasks[number])] = number
                    if len(running) >= ahead:
                        break
                if not running:
                    return
                finished: List[Future[CastRow]] = list(wait(running, return_when=FIRST_COMPLETED)[0])
                for future in sorted(finished, key=running.__getitem__):
                    number = running.pop(future)
                    yield number, _result(future, tasks[number])
        except BrokenExecutor:
            return
        finally:
            for future in running:
                future.cancel()


def _result(future: "Future[CastRow]", task: Task) -> CastRow:
    try:
        return future.result()
    except BrokenExecutor:
        raise
    except Exception as error:  # what could not be sent there or back
        words = "This row could not be sent to where it was to be made ({}: {})."
        return _ended(task, words.format(type(error).__name__, str(error).split("\n")[0]))


def _ended(task: Task, words: str = _ENDED) -> CastRow:
    return CastRow(task.body.who, task.garment.title, FAILED, words)
