"""All that is printed or exported: record, drawings, tables, load list, JSON."""
