"""Planning: demand, what to pack, which batches on which day, and why."""
