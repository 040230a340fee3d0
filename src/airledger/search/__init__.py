"""Looking for the state, the option or the limit that decides: every function takes the solver as an argument."""
