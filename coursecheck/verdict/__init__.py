"""The one place that compares: measured values against limits."""
