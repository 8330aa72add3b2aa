"""What a jar costs: by part and line, standard against actual, shared and spread."""
