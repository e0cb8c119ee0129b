"""The equipment block of a plan, and how a step says what it uses: "oven at 200 C", "hob, 2 rings".

Places are counted under one word of a cook's own choosing; a step must count with the same word. What has a
temperature anywhere in the plan, or a `preheat`, is an oven.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import yaml

from kitchend.core.plan import Equipment, EquipmentId, PlaceWord
from kitchend.core.quantities import QuantityError, Temperature, parse_duration, parse_temperature
from kitchend.core.wording import clause
from kitchend.files.complaints import Complaints, Spot, echo
from kitchend.files.names import bare, folded, slug
from kitchend.files.section import Section, Written, is_speakable

PLACE_WORDS: Mapping[str, str] = {"shelves": "shelf", "rings": "ring", "tiers": "tier", "places": "place"}
"""The words that count places, and their singulars."""

MOST_PLACES = 200
MOST_EQUIPMENT = 40

_COUNT = re.compile(r"(\d{1,3})\s+([a-z]+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenEquipment:
    """Equipment, the word its places are counted with, and where it stands."""

    item: Equipment
    word: str
    spot: Spot


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenUse:
    """What a step says it uses, before the name is looked up. `word` counts places; None: no count given."""

    name: str
    spot: Spot
    places: int = 1
    word: str | None = None
    at: Temperature | None = None


def read_equipment(top: Section, complaints: Complaints) -> tuple[WrittenEquipment, ...]:
    """Everything under `equipment:`; an entry that is complained of is left out or has one place."""
    node = top.node("equipment")
    if node is None:
        return ()
    if not isinstance(node, yaml.MappingNode):
        complaints.problem(top.spot("equipment"), clause("wrong.equipment"), clause("wrong.equipment.hint"))
        return ()
    names = Section(node, (), "equipment", complaints)
    if len(names.keys) > MOST_EQUIPMENT:
        message = clause("wrong.most.names", most=f"{MOST_EQUIPMENT}")
        complaints.problem(top.spot("equipment"), message, clause("wrong.most.names.hint"))
        return ()
    return tuple(item for name in names.keys if (item := _one(name, names, complaints)))


def _one(name: str, names: Section, complaints: Complaints) -> WrittenEquipment | None:
    spot = names.key_spot(name)
    if len(name) > 40 or not is_speakable(name, spot, complaints):
        return None
    places, word, preheat_s = _shape(name, names, complaints)
    name = bare(name)
    item = Equipment(
        id=EquipmentId(slug(name)), name=name, places=places, preheat_s=preheat_s, word=PlaceWord(word)
    )
    return WrittenEquipment(item=item, word=word, spot=spot)


def _shape(name: str, names: Section, complaints: Complaints) -> tuple[int, str, int | None]:
    node = names.node(name)
    if isinstance(node, yaml.ScalarNode) and not node.value:
        return 1, "places", None
    if not isinstance(node, yaml.MappingNode):
        count = node.value if isinstance(node, yaml.ScalarNode) and str(node.value).isdecimal() else 2
        hint = clause("wrong.counted.hint", name=echo(name), count=f"{count}")
        complaints.problem(names.spot(name), clause("wrong.counted"), hint)
        return 1, "places", None
    inside = Section(node, (*PLACE_WORDS, "preheat"), f"equipment.{name}", complaints)
    given = [word for word in PLACE_WORDS if inside.has(word)]
    if len(given) > 1:
        message = clause("wrong.counted.twice", one=given[0], other=given[1])
        complaints.problem(inside.key_spot(given[1]), message, clause("wrong.keep.one"))
    word = given[0] if given else "places"
    return inside.count(word, MOST_PLACES) or 1, word, inside.value("preheat", parse_duration)


def counted(items: tuple[Written, ...]) -> Iterator[Written]:
    """The items of a list, each count put back to the name before it: YAML takes [hob, 2 rings] for two
    items.
    """
    name: Written | None = None
    for item in items:
        is_count = _COUNT.fullmatch(item.text.lower()) is not None
        if name is not None and is_count and "," not in name.text:
            name = replace(name, text=f"{name.text}, {item.text}")
            continue
        if name is not None:
            yield name
        name = item
    if name is not None:
        yield name


def parse_use(written: Written, complaints: Complaints) -> WrittenUse | None:
    """What one text of `in:` or `on:` says: a name, then a count or a temperature or both, in any order."""
    name, *rest = (part.strip() for part in written.text.split(","))
    name, at_text = _split_at(name)
    count: str | None = None
    for part in rest:
        words, later_at = _split_at(part) if not part.startswith("at ") else ("", part[3:])
        count, at_text = words or count, later_at or at_text
    try:
        at = parse_temperature(at_text) if at_text else None
        places, word = _count(count) if count else (1, None)
    except QuantityError as error:
        complaints.problem(written.spot, error.problem, error.hint)
        return None
    if _COUNT.fullmatch(name):
        message = clause("wrong.of.what", text=echo(name))
        complaints.problem(written.spot, message, clause("wrong.of.what.hint"))
        return None
    return WrittenUse(name=name, spot=written.spot, places=places, word=word, at=at)


def _split_at(text: str) -> tuple[str, str]:
    before, _, after = text.partition(" at ")
    return before.strip(), after.strip()


def _count(text: str) -> tuple[int, str]:
    found = _COUNT.fullmatch(text.lower())
    plurals = {word: plural for plural, one in PLACE_WORDS.items() for word in (plural, one)}
    if not found or found[2] not in plurals or not int(found[1]):
        words = ", ".join(PLACE_WORDS)
        raise QuantityError(clause("wrong.places", text=echo(text)), clause("wrong.places.hint", words=words))
    return int(found[1]), plurals[found[2]]


def find_equipment(
    use: WrittenUse, owned: tuple[WrittenEquipment, ...], complaints: Complaints
) -> WrittenEquipment | None:
    """The equipment that a use names; complains when there is none, or when it counts with another word."""
    found = next((one for one in owned if folded(one.item.name) == folded(bare(use.name))), None)
    if found is None:
        hint = complaints.suggestion(use.name, [one.item.name for one in owned])
        complaints.problem(use.spot, clause("wrong.no.equipment", name=echo(use.name)), hint)
    elif use.word and use.word != found.word:
        word = _worded(found.word, use.places)
        hint = clause("wrong.other.word.hint", item=found.item.name, count=f"{use.places}", word=word)
        message = clause("wrong.other.word", item=found.item.name, word=found.word, other=use.word)
        complaints.problem(use.spot, message, hint)
    elif use.places > found.item.places:
        have = f"{found.item.places} {_worded(found.word, found.item.places)}"
        message = clause(
            "wrong.too.many", places=f"{use.places}", word=found.word, item=found.item.name, has=have
        )
        complaints.problem(use.spot, message, clause("wrong.too.many.hint", count=f"{found.item.places}"))
    return found


def _worded(word: str, count: int) -> str:
    return PLACE_WORDS[word] if count == 1 else word
