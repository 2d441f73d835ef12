"""The face on paper: pages that a browser prints, self-contained and without scripts."""
