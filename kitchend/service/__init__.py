"""Joins the parts: a queue in, `step`, effects out; and the adapters that touch the world.

What waits does not decide: no kitchen rule lives in this package. `ports` names what the runner needs,
`memory` has it without a world, the other modules have it for real.
"""
