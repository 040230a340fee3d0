"""A house as people in the trade say it.

Immutable values, what is running, the weather, and the way to network rows.
"""
