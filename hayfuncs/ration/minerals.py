"""Minerals that harm by their balance or excess: tetany ratio, Ca:P, sulfur with the water's share.

Each caution begins with its level (Clear, Caution, Danger) and ends with who decides.  The
limits have the source named; the advice beside them is common practice where none is named.
"""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Arg, Longhand, Number, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.levels import TOPIC, VETERINARIAN, quoted, settled
from hayfuncs.contract.units import LB_TO_KG, LITERS_PER_GALLON, MG_PER_KG

# Manitoba Agriculture: milliequivalents per kg for each 1 % of the mineral
K_MEQ, CA_MEQ, MG_MEQ = 255.74, 499.00, 822.64
TETANY_LIMIT = 2.2  # 6.66 % of cattle above it against 0.77 % below, same source
MG_CRITICAL = 0.20  # % of dry matter, same source
CA_P_LOWEST = 1  # Auburn: at least as much calcium as phosphorus
CA_P_LOW, CA_P_HIGH = 1.5, 7  # Alberta Agriculture
DIETS = ("high forage", "high concentrate")
SULFUR_FORAGE, SULFUR_CONCENTRATE = 0.40, 0.30  # % of dry matter with the water's, University of Minnesota
SULFUR_MOST = 0.50  # upper end of the maximum tolerable level, Merck Veterinary Manual from NASEM 2016
SULFUR_WEIGHT, OXYGEN_WEIGHT, OXYGENS = 32.06, 15.999, 4  # sulfate is SO4

TETANY_BOTH = (
    "Danger: the tetany ratio is above 2.2 and magnesium is below 0.20 %. Offer a high-magnesium mineral "
    "before lactating cattle get this hay."
)
TETANY_RATIO_HIGH = (
    "Caution: the tetany ratio is above 2.2. Offer a high-magnesium mineral, above all to lactating cattle."
)
MG_LOW = "Caution: magnesium is below 0.20 %. Offer a high-magnesium mineral, above all to lactating cattle."
TETANY_CLEAR = "Clear: the tetany ratio and magnesium give no sign of grass tetany."
CA_P_DANGER = "Danger: less calcium than phosphorus. Add a calcium source (limestone) to the diet."
CA_P_UNDER = "Caution: calcium is below 1.5 times phosphorus. A calcium source is usually added."
CA_P_OVER = "Caution: calcium is above 7 times phosphorus. See that the diet's phosphorus need is met."
CA_P_CLEAR = "Clear: calcium is 1.5 to 7 times phosphorus."
SULFUR_CLEAR = "Clear: sulfur is within the limit for this kind of diet."
SULFUR_HIGH = (
    "Caution: sulfur is above the limit for this kind of diet. Test the water too, and change some of the "
    "sulfur-rich feed (distillers grains, gluten feed) for another."
)
SULFUR_VERY_HIGH = (
    "Danger: sulfur is above 0.50 % of dry matter, the most that cattle are said to stand: risk of brain damage. "
    "Do not feed this diet."
)

Calcium = Annotated[Number, Arg("Calcium", "% DM", lo=0, hi=40, above=True)]
Magnesium = Annotated[Number, Arg("Magnesium", "% DM", lo=0, hi=60, above=True)]
Potassium = Annotated[Number, Arg("Potassium", "% DM", lo=0, hi=55)]
Phosphorus = Annotated[Number, Arg("Phosphorus", "% DM", lo=0, hi=30, above=True)]
RATIO = "{k_pct}*255.74/({ca_pct}*499+{mg_pct}*822.64)"
SulfurPct = Annotated[Number, Arg("Sulfur of the feed", "% DM", lo=0, hi=100)]


@worksheet(
    "TETANY_RATIO",
    TOPIC,
    "Potassium against calcium and magnesium, in equivalents; above 2.2 cattle may get grass tetany.",
    equation="ratio = 255.74 K / (499.00 Ca + 822.64 Mg)",
    refs=(Ref("manitoba-tetany", "factors in meq/kg for each 1 %; risk above 2.2"),),
    longhand=RATIO,
)
def tetany_ratio(
    k_pct: Potassium, ca_pct: Calcium, mg_pct: Magnesium
) -> Annotated[Number, Result("Ratio of equivalents", "ratio", 0)]:
    """Tetany ratio of a hay or diet.

    Much potassium keeps magnesium from being taken up.

    The factors turn 1 % into milliequivalents per kg.

    >>> tetany_ratio(3.0, 0.40, 0.15)  # 767.2 over 199.6 + 123.4
    2.375
    """
    return k_pct * K_MEQ / (ca_pct * CA_MEQ + mg_pct * MG_MEQ)


@worksheet(
    "TETANY_CAUTION",
    TOPIC,
    "What the tetany ratio and the magnesium of a hay or diet mean.",
    equation="danger where ratio > 2.2 and Mg < 0.20; caution where one of them",
    refs=(Ref("manitoba-tetany", "risk above a ratio of 2.2 and below 0.2 % Mg"),),
    longhand=Longhand(
        "IF({tetany}>2.2,IF({mg_pct}<0.2," + quoted(TETANY_BOTH) + "," + quoted(TETANY_RATIO_HIGH) + "),IF({mg_pct}<0.2,"
        + quoted(MG_LOW) + "," + quoted(TETANY_CLEAR) + "))&" + quoted(" " + VETERINARIAN),
        steps=(Step("tetany", f"ROUND({RATIO},9)", "Tetany ratio", "ratio"),),
    ),
)  # fmt: skip
def tetany_caution(k_pct: Potassium, ca_pct: Calcium, mg_pct: Magnesium) -> Annotated[str, Result("Caution", "text")]:
    """Caution on grass tetany.

    Lactating cows on lush or potassium-rich forage may go down within hours.

    The source saw tetany in 6.66 % of cattle above the ratio, 0.77 % below it.

    >>> tetany_caution(3.0, 0.40, 0.15).split(":")[0]
    'Danger'
    """
    high = bool(settled(tetany_ratio.plain(k_pct, ca_pct, mg_pct)) > TETANY_LIMIT)
    low = float(mg_pct) < MG_CRITICAL
    text = TETANY_BOTH if high and low else TETANY_RATIO_HIGH if high else MG_LOW if low else TETANY_CLEAR
    return f"{text} {VETERINARIAN}"


@worksheet(
    "CALCIUM_PHOSPHORUS_RATIO",
    TOPIC,
    "Calcium per unit of phosphorus of a feed or diet.",
    equation="ratio = Ca / P",
    refs=(Ref("alberta-minerals", "1.5 to 1 up to 7 to 1"),),
    longhand="{ca_pct}/{p_pct}",
)
def calcium_phosphorus_ratio(
    ca_pct: Calcium, p_pct: Phosphorus
) -> Annotated[Number, Result("Calcium to phosphorus", "ratio", 0)]:
    """Calcium to phosphorus.

    Grain by-products are rich in phosphorus and poor in calcium, legumes the reverse.

    Alfalfa:

    >>> calcium_phosphorus_ratio(1.71, 0.21)
    8.1
    """
    return ca_pct / p_pct


@worksheet(
    "CALCIUM_PHOSPHORUS_CAUTION",
    TOPIC,
    "What the calcium to phosphorus ratio of a diet means.",
    equation="danger below 1, caution below 1.5 or above 7",
    refs=(
        Ref("alberta-minerals", "at least 1.5 to 1, at most 7 to 1"),
        Ref("auburn-ca-p", "at least 1 to 1"),
    ),
    longhand=(
        "IF(ROUND({ca_pct}/{p_pct},9)<1," + quoted(CA_P_DANGER) + ",IF(ROUND({ca_pct}/{p_pct},9)<1.5," + quoted(CA_P_UNDER)
        + ",IF(ROUND({ca_pct}/{p_pct},9)>7," + quoted(CA_P_OVER) + "," + quoted(CA_P_CLEAR) + ")))&" + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def calcium_phosphorus_caution(ca_pct: Calcium, p_pct: Phosphorus) -> Annotated[str, Result("Caution", "text")]:
    """Caution on calcium and phosphorus.

    Too little calcium for the phosphorus brings urinary stones and weak bone.

    Distillers grains alone:

    >>> calcium_phosphorus_caution(0.05, 0.88).split(":")[0]
    'Danger'
    """
    ratio = float(settled(calcium_phosphorus_ratio.plain(ca_pct, p_pct)))
    text = CA_P_CLEAR
    if ratio < CA_P_LOWEST:
        text = CA_P_DANGER
    elif ratio < CA_P_LOW:
        text = CA_P_UNDER
    elif ratio > CA_P_HIGH:
        text = CA_P_OVER
    return f"{text} {VETERINARIAN}"


@worksheet(
    "WATER_SULFUR",
    TOPIC,
    "Sulfur that an animal drinks with sulfate water.",
    equation="sulfur = gallons x 3.785411784 L x sulfate mg/L x 32.06 / 96.056 / 453,592.37 mg per lb",
    refs=(
        Ref(
            "csu-water",
            "sulfate / 3 is sulfur; here the weights of the atoms, 0.1 % above",
            "from memory, agrees with published",
        ),
        Ref("atomic-weights", "sulfur 32.06, sulfate 32.06 + 4 x 15.999", "from memory, agrees with published"),
    ),
    longhand="{water_gal}*3.785411784*{sulfate_mg_l}*32.06/(32.06+4*15.999)/453592.37",
)
def water_sulfur(
    water_gal: Annotated[Number, Arg("Water an animal drinks", "gal/day", lo=0, hi=100)],
    sulfate_mg_l: Annotated[Number, Arg("Sulfate of the water (not sulfate-S)", "mg/L", lo=0, hi=50_000)],
) -> Annotated[Number, Result("Sulfur drunk", "lb/day", 0, 14)]:
    """Sulfur in the water.

    The sulfur limit is for feed and water together, and bad water may use it up alone.

    A lab that reports sulfate-sulfur has already taken the oxygen off: multiply it by 3 first. The US gallon
    and the pound are exact.

    12 gallons at 1,500 mg/L:

    >>> water_sulfur(12, 1500)  # lb
    0.050
    """
    sulfur_of_sulfate = SULFUR_WEIGHT / (SULFUR_WEIGHT + OXYGENS * OXYGEN_WEIGHT)
    kilograms = water_gal * LITERS_PER_GALLON * sulfate_mg_l / MG_PER_KG * sulfur_of_sulfate
    return kilograms / LB_TO_KG


@worksheet(
    "DIET_SULFUR",
    TOPIC,
    "Sulfur of the diet from hay, one other feed and the water.",
    equation="S % = 100 x (hay x S / 100 + feed x S / 100 + water S) / (hay + feed)",
    refs=(Ref("umn-sulfur", "sulfur of feeds; the limit counts the water"),),
    longhand="({hay_dm_lb}*{hay_s_pct}+{feed_dm_lb}*{feed_s_pct}+100*{water_s_lb})/({hay_dm_lb}+{feed_dm_lb})",
)
def diet_sulfur(
    hay_dm_lb: Annotated[Number, Arg("Hay eaten", "lb DM/day", lo=0, hi=200, above=True)],
    hay_s_pct: SulfurPct,
    feed_dm_lb: Annotated[Number, Arg("Other feed eaten", "lb DM/day", lo=0, hi=200)],
    feed_s_pct: SulfurPct,
    water_s_lb: Annotated[
        Number, Arg("Sulfur from the water (WATER_SULFUR); 0 for clean water", "lb/day", lo=0, hi=14)
    ],
) -> Annotated[Number, Result("Sulfur of the diet", "% DM", 0)]:
    """Sulfur of the diet.

    Distillers grains and bad water add up.

    20 lb brome at 0.21 % and 5 lb distillers grains at 0.69 %, clean water:

    >>> diet_sulfur(20, 0.21, 5, 0.69, 0)  # %
    0.306
    """
    return (hay_dm_lb * hay_s_pct + feed_dm_lb * feed_s_pct + 100 * water_s_lb) / (hay_dm_lb + feed_dm_lb)


@worksheet(
    "SULFUR_CAUTION",
    TOPIC,
    "What the sulfur of a diet, the water's counted in, means.",
    equation="caution above 0.40 % (high forage) or 0.30 % (high concentrate); danger above 0.50 %",
    refs=(
        Ref("umn-sulfur", "0.40 % in general, 0.30 % of a high-concentrate diet"),
        Ref("merck-minerals", "maximum tolerable level 0.30 to 0.50 %", "published, second hand"),
    ),
    longhand=(
        "IF({sulfur_pct}>0.5," + quoted(SULFUR_VERY_HIGH) + ",IF({sulfur_pct}>CHOOSE({diet#},0.4,0.3),"
        + quoted(SULFUR_HIGH) + "," + quoted(SULFUR_CLEAR) + "))&" + quoted(" " + VETERINARIAN)
    ),
)  # fmt: skip
def sulfur_caution(
    sulfur_pct: Annotated[float, Arg("Sulfur of the diet with the water's", "% DM", lo=0, hi=100)],
    diet: Annotated[str, Words("Kind of diet", DIETS)],
) -> Annotated[str, Result("Caution", "text")]:
    """Caution on sulfur.

    Too much sulfur damages the brain (polioencephalomalacia) and ties up copper.

    >>> sulfur_caution(0.45, "high forage").split(":")[0]
    'Caution'
    """
    text = SULFUR_CLEAR
    if sulfur_pct > (SULFUR_FORAGE if diet == "high forage" else SULFUR_CONCENTRATE):
        text = SULFUR_HIGH
    if sulfur_pct > SULFUR_MOST:
        text = SULFUR_VERY_HIGH
    return f"{text} {VETERINARIAN}"
