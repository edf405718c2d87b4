"""Work in the background: one module a kind, carried out in a process of its own."""
