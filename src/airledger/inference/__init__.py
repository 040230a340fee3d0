"""What readings allow to say, and how sure: numbers only, no house, no file."""
