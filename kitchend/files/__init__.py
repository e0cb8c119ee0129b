"""Files a cook writes: plans in. Every complaint names its place; nothing a file holds can stop kitchend."""
