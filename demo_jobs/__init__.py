"""Demo jobs: invented yards, crews and dogs."""
