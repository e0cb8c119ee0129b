"""The words a spoken code is made of: 256 short ones, chosen to sound apart. Four make 32 bits.

Data only. Whoever draws from them needs chance, which the core has none of.
"""

from __future__ import annotations

DOOR_WORDS: tuple[str, ...] = tuple(
    """
    acorn amber anchor apple apron arch arrow aspen autumn badge bagel baker balloon bamboo banjo
    barley barn basil basket beach beacon beaver bench berry bicycle birch biscuit blanket blossom
    bonfire boot bottle bramble branch bridge broom bucket bugle butter button cabin cactus camel
    canal candle canoe canyon carpet castle cedar chalk cherry chimney cinnamon circle cliff clover
    cobalt coconut comet compass copper coral cosy cotton cricket crown crystal curtain daisy dancer
    desert diamond dolphin donkey dragon drawer drum eagle early easel echo elbow elder ember
    emerald engine evening falcon feather finger flannel flute forest fossil friend frost garden
    garlic gentle glacier goblet golden gondola granite grape guitar hammer harbour harvest hazel
    hedge helmet heron hiking hollow honey hornet hunter igloo island ivory jacket jasmine jelly
    jigsaw jungle juniper kettle kingdom ladder lagoon lantern laurel lemon library lilac linen
    lizard lobster lotus lucky magnet mango maple marble meadow melody mermaid mirror mitten morning
    mosaic mountain muffin mustard napkin needle nephew nickel noodle nutmeg oasis ocean olive onion
    orange orchard otter oxygen oyster panda parrot peanut pebble pelican pencil pepper piano pillow
    pirate planet plum pocket pony poppy puppet purple puzzle pyramid quarry quilt rabbit radio
    rainbow raisin raven rhubarb ribbon river robin saddle sailor salmon sandal sapphire sardine
    satin saturn saxophone scarf scooter shadow shelter silver sketch skipper spider spiral sponge
    squirrel sunset table tandem teapot temple thimble thunder tiger timber toffee tractor trophy
    trumpet tulip tunnel turnip turtle twilight umbrella valley velvet vinegar violet violin volcano
    waffle wagon walnut walrus whistle window winter yellow yogurt zebra
    """.split()
)
