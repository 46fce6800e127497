"""What ``cliptag guide`` does."""

from __future__ import annotations

from argparse import Namespace

from cliptag.guide import shot_guide, write_guide
from cliptag.printing import print_json
from cliptag.words import words_of

DONE = 0


def guide(options: Namespace) -> int:
    """Write the shot guide in the client's language."""
    made = shot_guide(words_of(options.language), options.movement, options.client)
    files = write_guide(made, options.out)
    if options.json:
        print_json({"files": [str(file) for file in files]})
    else:
        print(f"Wrote {' and '.join(file.name for file in files)} to {options.out}.")
    return DONE
