"""Draws the demo clips: body and motion, then figure and scene, then lens, sound, truth, files."""
