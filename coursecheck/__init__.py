"""Check a dog-agility course plan."""
