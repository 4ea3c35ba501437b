"""interpret"""
