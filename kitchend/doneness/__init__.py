"""When a core temperature will be reached, what resting adds, and what published guidance asks for.

Pure: readings and moments come in as numbers, facts go out. No clock, no file, no sentence is in here.
"""
