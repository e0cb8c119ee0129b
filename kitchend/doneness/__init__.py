"""When a core temperature will be reached, what resting adds, and what published guidance asks for.

Pure: readings and moments come in as numbers, facts go out. No clock, no file, no sentence is in here.

Times are in seconds and temperatures in degrees Celsius unless a name says otherwise. Where to look:

`forecast.forecast`      readings -> when the target is reached, how sure that is, when to take it off
`resting.rise_at_rest`   what resting adds to what was pulled
`conduction`             slab, cylinder, sphere: `eigenvalues`, `one_term`, the full series `centre_ratio`
`lethality`              `equivalent_hold_s`, the Food Code's roast table, the UK's equivalents
`guidance.minimum_for`   the minimum temperatures of three jurisdictions, with their sources
`standing`               the figures of how food stands, is kept hot, cooled and reheated
`rules.rules_for`        one jurisdiction's tables as the core's plain rules
"""
