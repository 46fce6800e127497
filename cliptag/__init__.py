"""Review a client's movement clip and send back an annotated, captioned video."""

__version__ = "0.1.0"
