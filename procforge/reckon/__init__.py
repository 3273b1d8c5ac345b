"""The calculations on their own, without a procedure: options in as text, cited figures out."""
