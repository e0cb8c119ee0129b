"""The closed core: what a dinner is and how it moves. Pure and without a clock.

Modules here import each other and a short list of standard modules, nothing else; time, sound, files and
databases come in as events and leave as effects. `dinner.step` is the one door in and out.
"""
