"""Facts on the terminal: the forms that several verbs share."""

from __future__ import annotations

import json
import sys
from typing import Any


def print_json(facts: dict[str, Any]) -> None:
    """Print facts for programs."""
    print(json.dumps(facts, indent=2, ensure_ascii=False))


def clock_words(time_us: int) -> str:
    """A time as minutes and seconds."""
    minutes, seconds = divmod(round(time_us / 1e4) / 100, 60)
    return f"{int(minutes)}:{seconds:05.2f}"


def size_words(size_bytes: int) -> str:
    """A file's size in round numbers."""
    if size_bytes < 100_000:
        return f"{size_bytes / 1e3:.1f} kB"
    return f"{size_bytes / 1e6:.1f} MB"


def warn(sentence: str) -> None:
    """Say something beside the result, which a pipe carries alone."""
    print(f"cliptag: {sentence}", file=sys.stderr)
