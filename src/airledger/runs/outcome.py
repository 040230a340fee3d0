"""What a run gives: `Outcome` and `Search`, defined where they are drawn so that papers never import the engine."""

from __future__ import annotations

from airledger.report.outcome import Outcome, Search

__all__ = ["Outcome", "Search"]
