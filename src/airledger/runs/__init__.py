"""The one engine of every entry point: read a house, run its studies, hand over an outcome to be drawn."""

from __future__ import annotations

from airledger.runs.engine import STUDIES, load, study
from airledger.runs.outcome import Outcome, Search

__all__ = ["STUDIES", "Outcome", "Search", "load", "study"]
