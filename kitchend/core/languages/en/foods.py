"""English words of plans: what is cooked, where food stands, what is done to it, and where a fire burns.

Never spoken; looked for in names, `raw` and places. What each key means stands in `core/food_words`.
"""

from __future__ import annotations

from collections.abc import Mapping

FOODS: Mapping[str, str] = {
    "heaters": (
        "oven hob stove burner ring grill griddle smoker steamer fryer wok microwave barbecue plancha cooker "
        "charcoal fire kettle"
    ),
    "ovens": "oven smoker",
    "keepers": "cooler box thermos flask warmer warming hotbox",
    "cold keepers": "fridge refrigerator freezer ice icebox cellar",
    "cooking": (
        "roast bake fry boil simmer steam grill braise smoke poach sear toast stew barbecue reheat cook"
    ),
    "chilling": "chill refrigerate freeze",
    "thawing": "thaw defrost",
    "cooling": "cool chill refrigerate freeze",
    "reheating": "reheat rewarm",
    "washing": "wash hands",
    "baked": "bread loaf loaves rolls cake cakes focaccia brownies",
    "perishable": "rice custard cream milk",
    "unsure": "ham gammon egg eggs",
    "also.plants": "ground mince minced",
    "poultry": "poultry chicken turkey duck goose quail pheasant fowl hen chickens ducks",
    "minced": (
        "ground minced mince sausage sausages burger burgers meatball meatballs meatloaf patty patties kofta"
    ),
    "stuffed": "stuffed",
    "fresh ham": "ham gammon",
    "whole cut": ("meat beef pork veal venison mutton steak steaks ribs brisket sirloin chop chops"),
    "fish": (
        "fish shellfish seafood salmon cod trout haddock halibut tuna prawn prawns shrimp mussels scallops"
    ),
    "eggs": "egg eggs",
    "leftovers": "leftover leftovers",
    "fires": "charcoal fire coal coals ember embers smoker barbecue",
    "charcoal": "charcoal coal coals embers briquettes briquets",
    "gas": "gas propane butane camping",
    "flames": "grill barbecue heater stove burner smoker cooker bbq",
    "indoors": (
        "indoors indoor inside kitchen garage tent porch cellar basement conservatory shed caravan room"
    ),
    "outdoors": ("outdoors outdoor outside open air garden yard courtyard terrace patio beach field river"),
}
"""Words apart by spaces, in lower case, by key."""
