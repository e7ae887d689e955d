"""What the numbers mean: their roles, the sets they belong to, and a time for every rep."""
