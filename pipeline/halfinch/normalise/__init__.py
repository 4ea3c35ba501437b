"""normalise"""
