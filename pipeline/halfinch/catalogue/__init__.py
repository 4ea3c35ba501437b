"""catalogue"""
