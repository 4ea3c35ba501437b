"""plausibility"""
