"""The window in which the coach works. It holds no rule that a library caller would miss."""

from cliptag.desk.run import run_desk

__all__ = ["run_desk"]
