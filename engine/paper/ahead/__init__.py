"""What is said on paper before a fence is surveyed or built."""
