"""Where do sections stand, and how do they feed each other? Wings, chains of ways, terminals."""
