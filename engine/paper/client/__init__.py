"""The client's copy of the record: two or three pages in plain words, without the crew's figures."""
