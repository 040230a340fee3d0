"""The one engine of every entry point: read a house, run its studies, hand over an outcome to be drawn."""

from __future__ import annotations

from airledger.runs.engine import load, load_with_cautions, study, write_examples
from airledger.runs.outcome import Outcome, Search

__all__ = ["Outcome", "Search", "load", "load_with_cautions", "study", "write_examples"]
