"""Whether a label may: small rules, each with its citation and a finding."""
