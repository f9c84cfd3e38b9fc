"""The reader under a coverage-guided fuzzer: what the fuzzer's bytes choose is how a scenario file is damaged.

    pip install -e '.[fuzz]'
    python -m tests.abuse.fuzz_reader FOLDER -max_total_time=600

FOLDER keeps the inputs that reached new code; one that ends in anything but a rig or faults in words is written beside
and, given as an argument, run alone. Inputs that begin with an odd byte are the file itself, as raw bytes.
"""

from __future__ import annotations

import sys
from collections import Counter
from importlib import import_module
from pathlib import Path
from typing import Any

from tests.abuse.mutations import SEEDS, WHOLE, damaged, encoded

LONGEST_S = 60
MOST_MB = 2000
TOLD_EVERY = 1000


class Steered:
    """The choices of a mutation, steered by the fuzzer."""

    def __init__(self, provider: Any) -> None:
        self.provider = provider

    def pick(self, among):
        return among[self.provider.ConsumeIntInRange(0, len(among) - 1)]

    def whole(self, low: int, high: int) -> int:
        return self.provider.ConsumeIntInRange(low, high)

    def text(self) -> str:
        return self.provider.ConsumeUnicode(12)


def main() -> None:
    """Begin with the demos as they are."""
    fuzzer: Any = import_module("atheris")  # only built for some systems, and needed for nothing else
    with fuzzer.instrument_imports(include=["sim", "profiles"]):
        attack = import_module("tests.abuse.attack").attack
    outcomes: Counter[str] = Counter()

    def one_input(data: bytes) -> None:
        if data[:1] and data[0] % 2:
            content = data[1:]
        else:
            choices = Steered(fuzzer.FuzzedDataProvider(data[1:]))
            content = encoded(choices, damaged(choices, SEEDS[choices.pick(sorted(SEEDS))]))
        outcomes[attack(content, WHOLE / "damaged.yaml")] += 1
        if outcomes.total() % TOLD_EVERY == 0:
            print(dict(outcomes), file=sys.stderr)

    for folder in [Path(each) for each in sys.argv[1:] if not each.startswith("-") and not Path(each).is_file()][:1]:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in SEEDS.items():
            (folder / name).write_bytes(b"\x01" + text.encode())
    limits = [f"-timeout={LONGEST_S}", f"-rss_limit_mb={MOST_MB}", "-max_len=20000"]
    fuzzer.Setup([*sys.argv, *limits], one_input)
    fuzzer.Fuzz()


if __name__ == "__main__":
    main()
