"""Who gets power from where? Layout -> power nodes and links."""
