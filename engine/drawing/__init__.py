"""The drawings of a job, made once: shapes in feet, each with the role it plays. A screen or a page paints them."""
