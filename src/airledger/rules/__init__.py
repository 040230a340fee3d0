"""What the law and the standards say: tables as printed, which place has adopted what, and what follows for a house."""
