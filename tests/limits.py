"""Judges designs at the limits of a design file: the time and the memory that each takes.

    python tests/limits.py                 each limit, each two of them, and what an attack sent
    python tests/limits.py --only shelves  those whose name has this word in it
    options: --to check|desk|what-if|fix|plan (how far)   --singles (no pairs)   --seconds 120

Each is read, built and checked in a child process of its own. The table gives its processor time,
that as a multiple of a reference loop timed in the same run, and its greatest memory. The run
fails where a design takes more than `MOST_S` or `MOST_MB`, or ends without an answer.
"""

import argparse
import contextlib
import io
import os
import resource
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import limit_designs

from benchmarks.reference_loop import USUAL_S, loop_s
from kit.casework import build
from kit.checks import check
from kit.design_file import parse
from kit.errors import KitError

#: What a design may take: processor time on an idle machine, s, and memory, MB.
MOST_S, MOST_MB = 20.0, 1000.0


@dataclass(frozen=True)
class Judged:
    """What became of one design, and what it took; `told` is None where there is no answer."""

    told: str | None
    seconds: float
    megabytes: float

    def within(self, slower: float = 1.0) -> bool:
        """Whether it was answered or refused within the bounds, on a machine so much slower."""
        in_time = self.seconds <= MOST_S * slower
        return self.told is not None and in_time and self.megabytes <= MOST_MB


def _check(text: str) -> str:
    return f"{len(list(check(build(parse(text)))))} findings"


def _desk(text: str) -> str:
    """A change at the desk, as it is answered there."""
    from kit.design_file import rewrite
    from kit.notebook.design_desk.bench import Bench

    bench = Bench(text)
    bench.change(lambda old: rewrite(old, {"name": "y"}))
    return f"{len(list(bench.work.report))} findings"


def _command(*words: str) -> Callable[[str], str]:
    def run(text: str) -> str:
        from kit.__main__ import main

        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "design.toml"
            path.write_text(text)
            asked = [word.format(design=path, folder=Path(folder) / "pack") for word in words]
            with contextlib.redirect_stdout(io.StringIO()) as out:
                code = main(asked)
        return f"code {code}, {len(out.getvalue())} characters"

    return run


#: How far a design is taken.
STEPS: dict[str, Callable[[str], str]] = {
    "check": _check,
    "desk": _desk,
    "what-if": _command("what-if", "{design}", "--set", "x: case.depth = 850 mm"),
    "fix": _command("fix", "{design}"),
    "plan": _command("plan", "{design}", "--out", "{folder}"),
}


def judge(text: str, to: str = "check", seconds: int = 120) -> Judged:
    """Judge a design in a child process, which is ended after so many seconds of its own."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        os.close(ours)
        try:
            told = STEPS[to](text)
        except KitError as error:
            told = f"refused: {error}"
        except MemoryError:
            os._exit(1)
        os.write(theirs, told.encode()[:2000])
        os._exit(0)
    os.close(theirs)
    with open(ours, "rb") as pipe:
        told = pipe.read().decode(errors="replace")
    _, _, used = os.wait4(child, 0)
    return Judged(told or None, used.ru_utime + used.ru_stime, used.ru_maxrss / 1000)


def main() -> int:
    """Judge them all and print the table."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--only", default="")
    options.add_argument("--to", choices=list(STEPS), default="check")
    options.add_argument("--singles", action="store_true")
    options.add_argument("--seconds", type=int, default=120)
    asked = options.parse_args()
    designs = {**limit_designs.attacks(), **limit_designs.numbers(), **limit_designs.singles()}
    if not asked.singles:
        designs |= limit_designs.pairs()
    wrong = 0
    loop = loop_s()
    slower = max(1.0, loop / USUAL_S)
    print(f"reference loop {loop:.3f} s; bounds for a machine on which it takes {USUAL_S:.3f} s")
    print(f"{'design':34} {'kB':>6} {'s':>6} {'loops':>6} {'MB':>6}  answer")
    for name, text in designs.items():
        if asked.only not in name:
            continue
        found = judge(text, asked.to, asked.seconds)
        within = found.within(slower)
        wrong += not within
        told = (found.told or "NO ANSWER").split("\n")[0]
        print(
            f"{name:34} {len(text) / 1000:6.0f} {found.seconds:6.1f} {found.seconds / loop:6.1f} "
            f"{found.megabytes:6.0f}  {'' if within else 'TOO MUCH: '}{told[:90]}",
            flush=True,
        )
    print(f"{wrong} beyond {MOST_S:g} s or {MOST_MB:g} MB" if wrong else "all within the bounds")
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
