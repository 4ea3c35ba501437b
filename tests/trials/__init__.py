"""Imports that end before their time: killed at any moment, or with the power cut. `python -m tests.trials` counts."""
