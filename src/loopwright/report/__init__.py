"""How do we show it? A design and its runs as one page."""

from loopwright.report.write import report_text, write_report

__all__ = ["report_text", "write_report"]
