"""Pure formulas and published figures, one subject a file, each with its source and a check value. Standard library only."""
