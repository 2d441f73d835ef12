"""The face on the terminal and on a text printer: 80 columns, readable in black and white."""
