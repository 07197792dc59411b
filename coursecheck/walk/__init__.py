"""The course walk: what a plan will be like to run. Remarks with figures and a place; advice, never a verdict."""
