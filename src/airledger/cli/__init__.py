"""The commands: read, run, print or write. Nothing is computed here."""
