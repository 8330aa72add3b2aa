"""Settings and wiring of Setting Point: nothing else."""
