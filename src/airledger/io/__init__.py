"""Files in and out: the house file, its text marks, the price list. Quantities become SI here."""
