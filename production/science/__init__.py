"""What physics, chemistry and the standards let a maker compute before cooking.

Everything here takes frozen values and returns frozen values: no clock, no
database, no settings. Nothing here releases a batch: an estimate is an estimate.
"""
