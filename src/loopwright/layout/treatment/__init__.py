"""What marks carriers on their way to a section? Bays, agent lines, and marks at each place."""
