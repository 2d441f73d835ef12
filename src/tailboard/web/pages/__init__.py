"""The crew's pages: what each shows, made from the views that the terminal and the book show too."""
