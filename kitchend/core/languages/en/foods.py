"""English words of a plan that say what food it is, where it is, what is done to it, and where a fire burns.

Looked up in small letters, a word at a time. Of the first key all words must be there, of the others one.
"""

from __future__ import annotations

from collections.abc import Mapping

FOODS: Mapping[str, str] = {
    "washing hands": "wash hands",
    "heaters": (
        "oven hob stove burner ring grill griddle smoker steamer fryer wok microwave barbecue plancha cooker "
        "charcoal fire kettle"
    ),
    "keepers": (
        "fridge refrigerator freezer ice icebox cooler box thermos flask warmer warming hotbox cellar"
    ),
    "cooking": (
        "roast bake fry boil simmer steam grill braise smoke poach sear toast stew barbecue reheat cook"
    ),
    "chilling": "chill refrigerate freeze",
    "cooling": "cool chill refrigerate freeze thaw defrost",
    "reheating": "reheat rewarm",
    # A ham may be cooked already, and what has egg in its name need not be eggs.
    "not by name": "ham gammon egg eggs",
    # Garlic is minced as well: in the name of a step these say little.
    "not by step": "ground mince minced",
    # Baked through and dry, so that it may stand.
    "baked": "bread loaf loaves rolls cake cakes focaccia brownies",
    "perishable": "rice custard cream milk",
    "poultry": "poultry chicken turkey duck goose quail pheasant fowl hen chickens ducks",
    "minced meat": (
        "ground minced mince sausage sausages burger burgers meatball meatballs meatloaf patty patties kofta"
    ),
    "stuffed food": "stuffed",
    "fresh ham": "ham gammon",
    "whole cuts of meat": ("meat beef pork veal venison mutton steak steaks ribs brisket sirloin chop chops"),
    "fish and shellfish": (
        "fish shellfish seafood salmon cod trout haddock halibut tuna prawn prawns shrimp mussels scallops"
    ),
    "egg dishes": "egg eggs",
    "leftovers": "leftover leftovers",
    "charcoal": "charcoal coal coals embers briquettes briquets",
    "gas": "gas propane butane camping",
    "open flame": "grill barbecue heater stove burner smoker cooker bbq",
    "indoors": (
        "indoors indoor inside kitchen garage tent porch cellar basement conservatory shed caravan room"
    ),
    "outdoors": ("outdoors outdoor outside open air garden yard courtyard terrace patio beach field river"),
}
