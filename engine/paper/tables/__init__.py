"""Tables for other programs: CSV, figures beside words, what a spreadsheet reads."""
