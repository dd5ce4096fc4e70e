"""Errors, units and sourced values: what every floor above stands on."""
