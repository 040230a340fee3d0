"""Speed as ratios, each beside the share of rows that converged: `make bench`."""
