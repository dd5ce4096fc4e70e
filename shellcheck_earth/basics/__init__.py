"""Errors, units, sourced values, progress and parallel work: what every floor above may use."""
