"""Two reviews side by side on the desk, with what changed between them."""

from cliptag.desk.pairing.room import SUFFIX, PairRoom

__all__ = ["SUFFIX", "PairRoom"]
