"""Photos: who names them, what is beside the job, and how the record's page shows them."""
