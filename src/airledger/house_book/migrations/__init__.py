"""The book's tables from one version to the next."""
