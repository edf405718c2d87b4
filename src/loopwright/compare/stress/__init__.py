"""How much does a layout stand? One bad thing after another, each in a run of its own."""
