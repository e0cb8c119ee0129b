"""Text into sound into the air: voices, chimes, the player, and the mouth that joins them.

A voice makes sound and never plays it; a player plays sound and knows no words. What is said, and when, is
decided elsewhere.
"""
