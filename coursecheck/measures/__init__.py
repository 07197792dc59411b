"""What can be measured on a plan: numbers with a unit and a witness. No limits, no rulebook."""
