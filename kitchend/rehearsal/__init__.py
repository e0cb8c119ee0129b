"""Living through a dinner without a cook: the made-up cook's voices and the room they are heard in."""
