"""How do we work on a design in the browser? Folder -> server."""

from loopwright.studio.server import serve_studio

__all__ = ["serve_studio"]
