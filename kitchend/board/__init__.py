"""The board: a page for a tablet on the kitchen wall. A view of the dinner, and presses that say phrases.

Sits on top of the service and decides nothing about a dinner. Nothing here is needed to cook.
"""
