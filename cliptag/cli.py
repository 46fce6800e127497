"""The command line: it only translates words into library calls and results into text."""

from __future__ import annotations

import argparse
import logging
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from cliptag import __version__
from cliptag.errors import CliptagError

DONE, COULD_NOT, WRONG_USE = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives the exit code: 0 done, 1 could not, 2 wrong use."""
    options = _parser().parse_args(arguments)
    if not hasattr(options, "verb"):
        _parser().print_help()
        return WRONG_USE
    # Loaded here so that `cliptag --help` and a mistyped word answer at once.
    from cliptag import verbs

    try:
        return int(getattr(verbs, options.verb)(options))
    except CliptagError as error:
        return _say(str(error))
    except KeyboardInterrupt:
        return _say("Stopped; nothing was left half-written.")
    except BrokenPipeError:
        sys.stderr.close()  # the reader of a pipe went away, as `| head` does
        return COULD_NOT
    except Exception:
        return _say(_log_bug())


def _say(sentence: str) -> int:
    print(f"cliptag: {sentence}", file=sys.stderr)
    return COULD_NOT


def _log_bug() -> str:
    """Keep the traceback in a log file and give the sentence that names it."""
    from platformdirs import user_log_path

    try:
        file = user_log_path("cliptag", ensure_exists=True) / "cliptag.log"
        handler = logging.FileHandler(file, encoding="utf-8")
    except OSError:
        logging.getLogger("cliptag").exception("a bug in cliptag")
        return "Something went wrong inside cliptag; the lines above tell more."
    handler.setFormatter(logging.Formatter(f"%(asctime)s cliptag {__version__} %(message)s"))
    logger = logging.getLogger("cliptag")
    logger.propagate = False
    logger.addHandler(handler)
    logger.exception("a bug in cliptag")
    handler.close()
    logger.removeHandler(handler)
    return f"Something went wrong inside cliptag; please send us the file {file}."


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.exit(WRONG_USE, f"cliptag: {message} (see {self.prog} --help)\n")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="cliptag",
        description="Review a client's movement clip and send back an annotated, captioned video.",
        epilog="Coaching is not medical diagnosis: whoever feels pain stops and sees a clinician.",
    )
    parser.add_argument("--version", action="version", version=f"cliptag {__version__}")
    verbs = parser.add_subparsers(title="what it can do", metavar="VERB")

    demo = _verb(verbs, "demo", "make the take-home of the demo clip", "cliptag demo --out try")
    demo.add_argument("--out", type=Path, default=Path("take-home"), metavar="DIR")
    _add_json(demo)

    inspect = _verb(
        verbs, "inspect", "tell what a clip is and what to be careful of", "cliptag inspect a.mov"
    )
    inspect.add_argument("clip", type=Path, metavar="CLIP")
    inspect.add_argument("--frames", action="store_true", help="list the time of every frame")
    _add_json(inspect)

    export = _verb(
        verbs,
        "export",
        "write the take-home of a review",
        "cliptag export ines.review.json --out for-ines",
    )
    export.add_argument("review", type=Path, metavar="REVIEW")
    export.add_argument("--out", type=Path, required=True, metavar="DIR")
    export.add_argument(
        "--source-time",
        action="store_true",
        help="also write the captions in the clip's own time (commentary.source.vtt)",
    )
    export.add_argument(
        "--full-size",
        action="store_true",
        help="keep a picture that is larger than a phone shows (above 1920 pixels)",
    )
    _add_json(export)

    measure = _verb(
        verbs,
        "measure",
        "print every measured number with its uncertainty",
        "cliptag measure ines.review.json --csv numbers.csv",
    )
    measure.add_argument("review", type=Path, metavar="REVIEW")
    measure.add_argument("--csv", type=Path, metavar="FILE", help="write a table to FILE")
    _add_json(measure)

    check = _verb(
        verbs, "check", "tell whether a WebVTT file is sound and readable", "cliptag check a.vtt"
    )
    check.add_argument("file", type=Path, metavar="FILE")
    check.add_argument("--chapters", action="store_true", help="FILE holds chapters, not captions")
    _add_json(check)
    return parser


def _verb(
    verbs: argparse._SubParsersAction[_Parser], name: str, does: str, example: str
) -> argparse.ArgumentParser:
    parser = verbs.add_parser(
        name, help=does, description=f"{does.capitalize()}.", epilog=f"Example: {example}"
    )
    parser.set_defaults(verb=name)
    return parser


def _add_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print facts as JSON")


if __name__ == "__main__":
    sys.exit(main())
