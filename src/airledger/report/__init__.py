"""A run drawn, printed and written: paper, pictures, tables, JSON, terminal. Nothing is computed here."""

from __future__ import annotations

from airledger.report.folder import write
from airledger.report.in_units import in_units
from airledger.report.json_text import json_text
from airledger.report.outcome import Outcome, Search
from airledger.report.paper import pdf
from airledger.report.summary import summary

__all__ = ["Outcome", "Search", "in_units", "json_text", "pdf", "summary", "write"]
