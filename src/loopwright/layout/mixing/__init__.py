"""How is a mixer placed? Docks, splits of lanes, a tree of merges, and the way back."""
