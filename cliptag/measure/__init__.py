"""Numbers from the marks, each with its uncertainty. No Qt, no media."""
