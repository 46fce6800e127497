"""Where a bug's traceback goes, so that a person is told one sentence only."""

from __future__ import annotations

import logging
from types import TracebackType
from typing import TypeAlias

from cliptag import __version__

Caught: TypeAlias = (
    tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]
)


def log_bug(caught: Caught | None = None) -> str:
    """Keep a traceback in the log file and give the sentence that names the file.

    ``caught`` is as ``sys.exc_info()`` gives it; by default it is the exception being handled.
    """
    from platformdirs import user_log_path

    logger = logging.getLogger("cliptag")
    try:
        file = user_log_path("cliptag", ensure_exists=True) / "cliptag.log"
        handler = logging.FileHandler(file, encoding="utf-8")
    except OSError:
        logger.error("a bug in cliptag", exc_info=caught or True)
        return "Something went wrong inside cliptag; the lines above tell more."
    handler.setFormatter(logging.Formatter(f"%(asctime)s cliptag {__version__} %(message)s"))
    logger.propagate = False
    logger.addHandler(handler)
    logger.error("a bug in cliptag", exc_info=caught or True)
    handler.close()
    logger.removeHandler(handler)
    return f"Something went wrong inside cliptag; please send us the file {file}."
