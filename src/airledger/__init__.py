"""Where the air of a very tight house enters and leaves: sized before drywall, proven afterwards."""

__all__ = ["__version__"]

__version__ = "0.1.0"
