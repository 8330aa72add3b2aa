"""Recipes and their science, costing, planning, batches and tracing."""
