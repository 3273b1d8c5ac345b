"""Text to typed nodes: decoding, logical lines, the statement grammar, blocks, worded mistakes."""
