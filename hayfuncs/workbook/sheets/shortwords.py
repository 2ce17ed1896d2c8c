"""Cautions in few words, for the sheet that the room sees: what it is, what to do, who decides."""

from __future__ import annotations

from dataclasses import dataclass

from hayfuncs.workbook.sheets.levels import WORDS

NOTED = "For information"  # the level of a text that is neither caution nor danger
NONE = "No warning does not mean safe. Ask your vet."
LONGEST = 66  # letters that stand in one line of the hall's sheet


@dataclass(frozen=True)
class Short:
    """The words at each level, as expressions; `weight` says which of the same level is told first."""

    weight: float  # below 1
    caution: str
    danger: str
    noted: str = '""'
    untested: str = '""'

    def else_said(self, level: str) -> str:
        return f'IF({level}="{NOTED}",{self.noted},IF({level}="{WORDS[0]}",{self.untested},""))'


def _both(weight: float, caution: str, danger: str = "", untested: str = "") -> Short:
    return Short(weight, f'"{caution}"', f'"{danger or caution}"', untested=f'"{untested}"')


UNSAID = _both(0, "")
# by the function whose words the line shows
SHORT = {
    "STACK_HEAT_CAUTION": _both(0.19, "This stack is heating: take its temperature daily.", "This stack may burn: call the fire service first."),
    "NITRATE_CAUTION": _both(0.18, "Nitrate: mix this hay thin for cows in calf. Your vet decides.", "Nitrate can kill: do not feed it before your vet says so.",
                             "Nitrate was not tested. Ask your vet before you feed it."),
    "PRUSSIC_ACID_CAUTION": _both(0.17, "Prussic acid: test again before feeding. Your vet decides.", "Prussic acid can kill: do not feed it. Call your vet."),
    "UREA_CAUTION": _both(0.16, "Urea: keep to the tag, never loose. Your vet decides.", "Urea can kill: do not feed this much. Your vet decides."),
    "GRAIN_CAUTION": _both(0.15, "Grain: bring it in slowly, room for all. Your vet decides.", "Too much grain can kill: feed less. Your vet decides."),
    "ERGOVALINE_CAUTION": _both(0.14, "Fescue toxin: thin this hay out. Your vet decides.", "Fescue toxin: do not feed it alone. Your vet decides."),
    "SULFUR_CAUTION": _both(0.13, "Sulfur is high: test feed and water. Your vet decides.", "Too much sulfur cripples cattle. Your vet decides."),
    "TETANY_CAUTION": _both(0.12, "Grass tetany: offer magnesium mineral. Your vet decides."),
    "CALCIUM_PHOSPHORUS_CAUTION": _both(0.11, "Calcium and phosphorus are off balance. Your vet decides."),
    "FAT_CAUTION": _both(0.10, "Too much fat in the diet: feed less of it. Ask a nutritionist."),
    "BALING_MOISTURE_CAUTION": _both(0.09, "Baled wet: it may heat. Take the stack's temperature."),
    "MUD_CAUTION": _both(0.08, "Mud: cows eat less and need more. Give them a dry place."),
    "COLD_INCREASE": _both(0.07, "Cold: they need more than this. See Herd care."),
}  # fmt: skip
UNBOOKED = "No limit is on file for this feed: ask its maker first."
SUPPLEMENT = 0.5  # the weight of the words on the supplement, among what is told for information
# a feed of the feed book -> what to know before it is fed
FEEDS = {
    "barley": "Bring grain in slowly: a sudden load can kill. Ask your vet.",
    "cane molasses": "Molasses: keep hay before them, ration it. Ask your vet.",
    "citrus pulp": "Citrus pulp: bring it in slowly, never moldy. Ask your vet.",
    "corn gluten feed": "Test feed and water for sulfur. Your vet decides.",
    "corn grain": "Bring grain in slowly: a sudden load can kill. Ask your vet.",
    "cottonseed meal": "Cottonseed meal: not for bulls or calves. Ask your vet.",
    "distillers grains, dried": "Test feed and water for sulfur. Your vet decides.",
    "gin trash": "Gin trash: ask what was sprayed, and have it tested.",
    "oats": "Bring grain in slowly: a sudden load can kill. Ask your vet.",
    "peanut hulls": "Peanut hulls: test the load for aflatoxin. Ask your vet.",
    "peanut skins": "Peanut skins tie up protein. Ask a nutritionist.",
    "range cubes 20": "Cubes may hold urea: read the tag. Ask your vet.",
    "rice bran": "Rice bran: add limestone, feed it fresh. Ask your vet.",
    "soybean meal 44": "Above 2 lb a day meal takes the place of hay.",
    "soybean meal 48": "Above 2 lb a day meal takes the place of hay.",
    "urea 45": "Never feed urea loose: it kills. Call your vet first.",
    "wheat middlings": "Middlings: add limestone, keep them dry. Ask your vet.",
    "whole cottonseed": "Whole cottonseed: none for bulls or calves. Ask your vet.",
}
