"""One pane a stage, under the same nine names as the engine."""
