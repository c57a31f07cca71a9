"""Solver runs in child processes, so that a long run can be stopped at once.

The solver is one uninterruptible call; a child can be ended. A child reads one run per line
and answers with one line, and ends when its input does:

    python -m kit.making.nesting.packing_pool
"""

from __future__ import annotations

import json
import subprocess
import sys
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import asdict
from types import TracebackType
from typing import Any, Self

from kit.children import environment, python
from kit.errors import CancelledError
from kit.making.nesting.jobs import Bin, Item, Job, Joining, Method, Packing, Rung, Spot, Stages
from kit.making.nesting.packing import pack

POLL_S = 0.05
#: A run that has ended so many children is given up.
TRIES = 2
Run = tuple[Job, Rung]


class PackingPool:
    """A few child processes that pack; a context manager, which ends them on the way out.

    `lost` says in a sentence which runs have no answer because their children died, and is empty
    where none did.
    """

    def __init__(
        self, workers: int, deadline: float, cancelled: Callable[[], bool] | None = None
    ) -> None:
        """Take the number of children and the `time.monotonic()` at which all work stops."""
        self._children: list[subprocess.Popen[str] | None] = [None] * workers
        self._threads = ThreadPoolExecutor(workers)
        self._deadline = deadline
        self._cancelled = cancelled
        self._ended = False
        self._deaths: list[int] = []
        self._lock = threading.Lock()  # no child may start after all have been ended

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._end()
        self._threads.shutdown(wait=True)

    @property
    def lost(self) -> str:
        """Why the search was less than it should have been; nothing where it was not."""
        if not self._deaths:
            return ""
        codes = ", ".join(map(str, sorted(set(self._deaths))))
        return (
            f"the search for a better sheet layout was cut short {len(self._deaths)} times, as the "
            f"process at work on it died (exit code {codes}); free some memory and plan again"
        )

    def __call__(self, runs: Sequence[Run]) -> list[Packing | None]:
        """Return the answers in the order of the runs.

        None for a run that found nothing, that the deadline cut off, or that is `lost`.

        Raises `CancelledError` as soon as the caller asks to stop.
        """
        todo = deque(enumerate(runs))
        answers: list[Packing | None] = [None] * len(runs)

        def work(slot: int) -> None:
            while True:
                try:
                    number, run = todo.popleft()
                except IndexError:
                    return
                answers[number] = self._one(slot, run)

        futures = [self._threads.submit(work, slot) for slot in range(len(self._children))]
        self._wait(futures)
        for future in futures:
            future.result()
        return answers

    def _wait(self, futures: Sequence[Future[None]]) -> None:
        pending = set(futures)
        while pending:
            if self._cancelled is not None and self._cancelled():
                raise CancelledError("The sheet layout was stopped; nothing was changed.")
            if time.monotonic() > self._deadline:
                self._end()
                return
            pending = wait(pending, timeout=POLL_S).not_done

    def _one(self, slot: int, run: Run) -> Packing | None:
        code = 0
        for _ in range(TRIES):
            limit_s = self._deadline - time.monotonic()
            with self._lock:
                if self._ended or limit_s <= 0:
                    return None
                child = self._children[slot]
                if child is None or child.poll() is not None:
                    child = self._children[slot] = _start()
            try:
                return _asked(child, run, limit_s)
            except (OSError, ValueError):
                code = _died(child)
        with self._lock:
            if not self._ended:
                self._deaths.append(code)
        return None

    def _end(self) -> None:
        with self._lock:
            self._ended = True
            for slot, child in enumerate(self._children):
                if child is not None:
                    child.kill()
                    child.wait()
                    self._children[slot] = None


def _asked(child: subprocess.Popen[str], run: Run, limit_s: float) -> Packing | None:
    """What a child answers. Raises OSError or ValueError where it has died."""
    assert child.stdin is not None
    assert child.stdout is not None
    child.stdin.write(json.dumps(_to_json(run, limit_s)) + "\n")
    child.stdin.flush()
    return _packing(json.loads(child.stdout.readline()))


def _died(child: subprocess.Popen[str]) -> int:
    """The exit code of a child that answers no more."""
    child.kill()
    return child.wait()


def _start() -> subprocess.Popen[str]:
    return subprocess.Popen(
        python("-m", "kit.making.nesting.packing_pool"),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env=environment(),
        start_new_session=True,  # Ctrl-C reaches only the parent, which ends the child
    )


def _to_json(run: Run, limit_s: float) -> dict[str, Any]:
    job, rung = run
    return {
        "job": asdict(job),
        "rung": [rung.method.value, rung.stages.value, rung.queue, rung.iterations],
        "joining": None if rung.joining is None else asdict(rung.joining),
        "limit_s": limit_s,
    }


def _packing(data: Any) -> Packing | None:
    if data is None:
        return None
    return tuple((kind, tuple(Spot(*spot) for spot in spots)) for kind, spots in data)


def _serve() -> None:
    answers = sys.stdout
    sys.stdout = sys.stderr  # whatever else prints must not mix with the answers
    for line in sys.stdin:
        data = json.loads(line)
        job = Job(
            tuple(
                Bin(**{**bin_, "defects": tuple(tuple(d) for d in bin_["defects"])})
                for bin_ in data["job"]["bins"]
            ),
            tuple(Item(**item) for item in data["job"]["items"]),
        )
        method, stages, queue, iterations = data["rung"]
        joining = None if data["joining"] is None else Joining(**data["joining"])
        rung = Rung(Method(method), Stages(stages), queue, iterations, joining)
        packing = pack(job, rung, data["limit_s"])
        spots = packing and [
            (kind, [(s.item, s.x, s.y, s.turned) for s in spots]) for kind, spots in packing
        ]
        answers.write(json.dumps(spots) + "\n")
        answers.flush()


if __name__ == "__main__":
    _serve()
