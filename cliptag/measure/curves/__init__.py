"""Numbers over time from tracked points: smoothed, with their uncertainty. No Qt, no media."""
