"""A house as people in the trade say it: immutable values, what is running, the weather, and the way to network rows."""
