"""Simulated pianos: is what a range and a visit promise kept?"""
