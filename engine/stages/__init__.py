"""The nine stages, one module each, in the order a crew walks them."""
