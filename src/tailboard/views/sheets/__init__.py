"""Every sheet of the book, defined once: the paper, the workbook and the pages show the same tables."""
