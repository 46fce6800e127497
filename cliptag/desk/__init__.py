"""The window in which the coach works. It holds no rule that a library caller would miss."""
