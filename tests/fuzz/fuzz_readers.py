"""Fuzzes the readers of a maker's words, guided by what lines of the kit each input reaches.

    python tests/fuzz/fuzz_readers.py design 300        seconds, on the design file
    python tests/fuzz/fuzz_readers.py length 300        on a length
    python tests/fuzz/fuzz_readers.py change 300        on a change of a design file

It wants `atheris` (`uv pip install atheris`; wheels for Linux and macOS). Each input has to be
read, or refused by one clear `KitError`; anything else ends the run with its input, and so does an
input that takes longer than ten seconds. `test_fuzz.py` runs the same judges on hypothesis.
"""

import sys
import tempfile
from pathlib import Path

import atheris

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

with atheris.instrument_imports(include=["kit", "tomllib", "tomlkit"]):
    import readers

    from kit.design_file import example_text

#: Words of the format, so that chance need not find them.
WORDS = (
    *("[case]", "[[shelf]]", "[doors.slats]", "[base]", "[measured.thickness]", "[prices.each]"),
    *(
        "width = ",
        "bay = ",
        "stock = ",
        "kind = ",
        "= {",
        "'''",
        '\\"\\"\\"',
        "[[",
        "]]",
        "0x",
        "1e9",
    ),
    *("3/4 in", "18 mm", "5' 3-1/2\\\"", "1.2 m", "walnut-ply-3/4", "birch-ply-4", "nan", "inf"),
)


def main(which: str, seconds: int) -> None:
    """Fuzz one reader for so long."""
    judge = {"design": readers.design, "length": readers.length_of, "change": readers.change}[which]

    @atheris.instrument_func
    def one(data: bytes) -> None:
        judge(data.decode("utf-8", "replace"))

    with tempfile.TemporaryDirectory() as name:
        corpus = Path(name)
        seeds = readers.SEEDS if which == "length" else (example_text(), *readers.SMALL)
        for number, seed in enumerate(seeds):
            (corpus / f"{number}").write_text(seed)
        words = corpus.parent / f"{corpus.name}.words"
        words.write_text("".join(f'"{word}"\n' for word in WORDS))
        atheris.Setup(
            [
                sys.argv[0],
                str(corpus),
                f"-dict={words}",
                f"-max_total_time={seconds}",
                "-timeout=10",
                "-rss_limit_mb=4096",
                f"-max_len={200 if which == 'length' else 12000}",
                "-len_control=20",
                "-print_final_stats=1",
            ],
            one,
        )
        atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
