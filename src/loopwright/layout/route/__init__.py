"""By which way does each belt go? Nets -> tracks, paths and bridges."""
