"""Records entered one by one: which kinds there are, their forms, and what is said of a record just entered."""
