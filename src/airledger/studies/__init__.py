"""One module a question. A study takes a house and `work`, and gives a `Result`; it draws nothing and reads nothing."""
