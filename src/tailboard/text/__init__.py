"""Files to values that keep their spot: YAML, CSV, XLSX, ranges, near misses. No meaning is given to a value here."""
