"""What commands print: results in, a text for people or the JSON other programs rely on out. Prints nothing."""
