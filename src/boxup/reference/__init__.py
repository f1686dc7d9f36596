"""Published tables as CSV, each row with its source and label, and the sources themselves."""
