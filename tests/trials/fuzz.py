"""A reader under atheris: `python -m tests.trials.fuzz READER [-max_total_time=60 ...]` (`make fuzz`; extra `fuzz`).

Whatever the bytes, a reader gives a Sheet or raises a SheetError. Begins with the fixtures of its kind.
"""

from __future__ import annotations

import importlib
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ENDINGS = {
    "pdf": (".pdf",),
    "html": (".html", ".htm", ".mhtml"),
    "delimited": (".csv", ".tsv", ".txt"),
    "json_text": (".json", ".jsonl"),
    "workbook": (".xlsx", ".ods", ".xls", ".xml", ".fods"),
    "containers": (".zip", ".gz", ".tar"),
}
LARGEST = 60_000


def seeds(reader: str, folder: Path) -> int:
    """Copies small fixtures of the reader's kind; how many."""
    paths = [path for path in (ROOT / "fixtures").rglob("*") if path.suffix in ENDINGS[reader] and path.is_file()]
    small = [path for path in paths if path.stat().st_size <= LARGEST and not path.name.endswith(".expected.csv")]
    for number, path in enumerate(small):
        (folder / f"{number}{path.suffix}").write_bytes(path.read_bytes())
    return len(small)


def main() -> None:
    """Runs until libFuzzer's time is up; a fault leaves its bytes in build/fuzz and ends the run."""
    reader, *options = sys.argv[1:] or [""]
    if reader not in ENDINGS:
        sys.exit(f"one of {', '.join(ENDINGS)}")
    atheris = importlib.import_module("atheris")  # an extra: the tests do without it
    with atheris.instrument_imports(include=["halfinch.readers", "halfinch.sheet"]):
        module = importlib.import_module(f"halfinch.readers.{reader}")
    from halfinch.errors import SheetError

    name = f"fuzzed{ENDINGS[reader][0]}"

    def one(data: bytes) -> None:
        try:
            if reader == "containers":
                list(module.iter_members(data, name))
            else:
                module.read(data, name)
        except (SheetError, RecursionError):  # nested too deep: told one floor above
            return

    corpus = Path(tempfile.mkdtemp(prefix=f"fuzz-{reader}-"))
    count = seeds(reader, corpus)
    kept = ROOT / "build" / "fuzz"
    kept.mkdir(parents=True, exist_ok=True)
    sys.stdout.write(f"{reader}: {count} fixtures to begin with\n")
    atheris.Setup(
        [sys.argv[0], f"-artifact_prefix={kept}/{reader}-", "-rss_limit_mb=2500", "-timeout=60", "-max_len=60000",
         "-print_final_stats=1", *options, str(corpus)],
        one,
    )  # fmt: skip
    atheris.Fuzz()


if __name__ == "__main__":
    main()
