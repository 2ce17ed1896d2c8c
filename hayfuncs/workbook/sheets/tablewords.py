"""The published tables in words: what each column is called on a sheet, and who a source is."""

from __future__ import annotations

import re

from hayfuncs.contract.tables import sources

NO_YEAR = "n.d."
HEADS = {
    "at_70": "At 70 deg F",
    "at_80": "At 80 deg F",
    "at_90": "At 90 deg F",
    "cattle_class": "Cattle",
    "gestating": "Pregnant cattle",
    "growing": "Growing cattle",
    "in_milk": "Cows in milk",
    "limit_before": "Most, by the book of 1996",
    "limit_now": "Most, by the book of 2016",
    "above": "Only above it? 1 yes, 0 from it on",
    "advice": "What to do",
    "bale_waste_lb": "Wasted of a 1,200-lb bale",
    "band": "Band",
    "between_labs": "Between two laboratories",
    "ca_pct": "Calcium",
    "calf_pct_bw": "Most for calves",
    "caution_always": "Caution at any rate",
    "caution_danger": "Danger, in words",
    "caution_lb_day": "Caution above the pounds a day",
    "caution_light": "Caution for lighter cattle",
    "caution_over": "Caution above the limit",
    "coat": "Coat",
    "cp_lb": "Crude protein, pounds",
    "cp_pct": "Crude protein",
    "danger_pct_bw": "Danger above",
    "depth": "Depth of the mud",
    "dm_lb": "Dry matter eaten",
    "eaten_lb_day": "Eaten by a cow",
    "equations": "What the equations here give for the same animal",
    "evidence": "How known",
    "feed": "Feed",
    "feeder": "Feeder",
    "from": "From",
    "iowa_high_pct": "Iowa State: highest",
    "iowa_low_pct": "Iowa State: lowest",
    "lct_f": "Lower critical temperature",
    "least_weight_lb": "Lightest cattle that may have it",
    "limit_lb_day": "Most a head and day",
    "limit_pct_bw": "Most by weight",
    "limit_pct_diet": "Most of the diet",
    "loss_pct": "Lost",
    "measure": "Measure",
    "mineral": "Mineral",
    "method": "Method",
    "nebraska_high_pct": "Nebraska: highest",
    "others": "Other cattle, in words",
    "others_pct": "Other cattle, most of the diet",
    "p_pct": "Phosphorus",
    "pct_per_deg_f": "More energy for each degree below it",
    "pregnant": "Cattle in calf, in words",
    "pregnant_pct": "Cattle in calf, most of the diet",
    "row_name": "Animal",
    "seen": "Seen in the hay",
    "source": "Source",
    "stage": "Stage",
    "tdn_lb": "TDN, pounds",
    "tdn_pct": "TDN",
    "tennessee_pct": "Tennessee trial",
    "text": "What it means",
    "trial": "Trial",
    "unit": "Unit",
    "where": "Where it stands",
    "wasted_lb_day": "Wasted by a cow",
    "within_lab": "Within one laboratory",
}


def cited(key: str) -> str:
    """Who said it, and when: no year where the page has none."""
    row = sources()[key]
    return str(row["who"]) if row["year"] == NO_YEAR else f"{row['who']} {row['year']}"


def in_words(text: str) -> str:
    """A note with the names of columns and the keys of sources as a reader knows them."""

    def said(match: re.Match[str]) -> str:
        word = match.group(0)
        if word in sources():
            return cited(word)
        return f'"{HEADS[word]}"' if "_" in word and word in HEADS else word

    plain = re.sub(r"`([a-z_]+)`", lambda m: f'"{HEADS[m.group(1)]}"', text)
    return re.sub(r"\b[a-z][a-z0-9]*(?:[_-][a-z0-9]+)+\b", said, plain)
