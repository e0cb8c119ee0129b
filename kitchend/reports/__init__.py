"""What commands print: results in, a text for people or JSON for programs out. Prints nothing."""
