"""Moments, repetitions and descriptors of a movement, from its curves. No Qt, no media."""
