"""What the user types: one file per command, heavy imports inside `run`."""
