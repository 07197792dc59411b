"""Plane geometry that every later step shares: frames, bearings, segments of a line."""
