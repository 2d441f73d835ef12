"""Frozen records of rig, show and found, and their reader: a folder becomes a model and findings."""
