"""The numbers of the trade: pure functions on plain numbers, each with its source, its limits and its check."""
