"""How long the command line takes to answer, as a whole process."""

import subprocess
import sys
from typing import Any


def test_help_as_a_process(benchmark: Any) -> None:
    command = [sys.executable, "-c", "from lubberline.cli import main; main()", "--help"]
    benchmark.pedantic(
        lambda: subprocess.run(command, check=True, capture_output=True), rounds=10, warmup_rounds=1
    )
