"""Certificates: made by `certify`, checked by `check`, which imports none of its siblings."""
