"""What the rules say: reads the rulebooks, finds which row applies to whom, and can explain why. No geometry."""
