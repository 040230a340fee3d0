"""The pages: a browser reads and changes the house book through them; nothing is computed here."""
