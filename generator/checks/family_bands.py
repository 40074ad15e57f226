"""What metals of a family have, from handbooks, for the checks that a metallurgist makes by eye."""

from __future__ import annotations

# How far a measured density may lie from the mixture rule, in per cent. Zinc, aluminium and tin
# draw copper together, so brass and bronze are denser than the rule; 2 % is right for the others.
DENSITY_ROOM = {
    **dict.fromkeys(("gold", "silver", "platinum", "palladium", "copper"), (-2, 2)),
    "beryllium-copper": (-2, 2),
    "brass": (0, 4),
    "nickel-silver": (0, 4),
    "bronze": (-1, 4),
    **dict.fromkeys(("carbon-steel", "hardenable-stainless", "austenitic-stainless"), (-2, 3)),
    "titanium": (-2, 2),
    "aluminium": (-2, 2),
    "heavy-alloy": (-4, 2),
}
INTERSTITIAL = ("C", "S", "P")  # take no room of their own in steel, or far less than as elements
# What metals of a family have, from handbook tables (Smithells; ASM Metals Handbook vols. 1, 2),
# with room.
FAMILY = {
    "elastic-modulus": {
        "gold": (70, 120), "silver": (68, 90), "platinum": (150, 210), "palladium": (105, 140),
        "copper": (105, 130), "brass": (90, 125), "bronze": (95, 145), "nickel-silver": (115, 150),
        "beryllium-copper": (115, 140), "austenitic-stainless": (175, 210),
        "hardenable-stainless": (190, 225), "carbon-steel": (185, 215), "titanium": (95, 125),
        "aluminium": (65, 75), "heavy-alloy": (250, 400),
    },
    "expansion": {
        "gold": (13, 19), "silver": (18, 21), "platinum": (8, 10.5), "palladium": (10.5, 13),
        "copper": (16, 18.5), "brass": (17.5, 22), "bronze": (15.5, 19), "nickel-silver": (15, 19),
        "beryllium-copper": (16, 18.5), "austenitic-stainless": (14.5, 19),
        "hardenable-stainless": (9.5, 12.5), "carbon-steel": (10.5, 14), "titanium": (8, 10.5),
        "aluminium": (21, 25.5), "heavy-alloy": (4, 7),
    },
    "thermal-conductivity": {
        "gold": (50, 330), "silver": (250, 430), "copper": (200, 410), "brass": (90, 170),
        "bronze": (30, 130), "nickel-silver": (20, 50), "beryllium-copper": (80, 260),
        "austenitic-stainless": (9, 20), "hardenable-stainless": (14, 33), "carbon-steel": (25, 60),
        "titanium": (5, 23), "aluminium": (110, 240), "heavy-alloy": (60, 180),
    },
    "resistivity": {
        "copper": (1.6, 3), "brass": (3.5, 9), "bronze": (8, 25), "nickel-silver": (17, 40),
        "beryllium-copper": (4, 12), "austenitic-stainless": (60, 110),
        "hardenable-stainless": (45, 100), "carbon-steel": (14, 50), "titanium": (40, 180),
        "aluminium": (2.6, 7),
    },
    "tensile-strength": {
        "gold": (80, 1100), "silver": (120, 650), "platinum": (120, 1000), "copper": (180, 500),
        "brass": (230, 900), "bronze": (280, 1300), "nickel-silver": (300, 900),
        "beryllium-copper": (380, 1600), "austenitic-stainless": (430, 2400),
        "hardenable-stainless": (350, 2300), "carbon-steel": (280, 3200), "titanium": (230, 1400),
        "aluminium": (60, 700), "heavy-alloy": (600, 2000),
    },
    "proof-strength": {
        "gold": (20, 900), "silver": (20, 600), "platinum": (30, 900), "copper": (30, 450),
        "brass": (70, 800), "bronze": (90, 1250), "nickel-silver": (90, 850),
        "beryllium-copper": (120, 1450), "austenitic-stainless": (160, 2100),
        "hardenable-stainless": (180, 2000), "carbon-steel": (180, 2800), "titanium": (130, 1250),
        "aluminium": (25, 650), "heavy-alloy": (400, 1800),
    },
    "melting-range": {
        "gold": (750, 1320), "silver": (740, 970), "platinum": (1650, 1900),
        "palladium": (1250, 1700), "copper": (1050, 1090), "brass": (850, 1070),
        "bronze": (830, 1130), "nickel-silver": (880, 1200),
        "beryllium-copper": (850, 1000), "austenitic-stainless": (1290, 1480),
        "hardenable-stainless": (1350, 1540), "carbon-steel": (1300, 1540),
        "titanium": (1550, 1700), "aluminium": (450, 665),
    },
}  # fmt: skip
# Vickers hardness of a family in its softest and its hardest state.
HARDNESS = {
    "gold": (18, 400), "silver": (20, 190), "platinum": (40, 400), "palladium": (40, 400),
    "copper": (35, 150), "brass": (50, 250), "bronze": (60, 420), "nickel-silver": (70, 280),
    "beryllium-copper": (80, 480), "austenitic-stainless": (90, 650),
    "hardenable-stainless": (120, 800), "carbon-steel": (100, 1000), "titanium": (100, 450),
    "aluminium": (25, 210), "heavy-alloy": (230, 600),
}  # fmt: skip
# MPa of tensile strength for each Vickers point, lowest and highest; soft metals harden as they are
# pulled.
STRENGTH_PER_HARDNESS = {
    **dict.fromkeys(("carbon-steel", "hardenable-stainless"), (2.8, 3.8)),
    "austenitic-stainless": (2.6, 4.4),
    "titanium": (2.4, 4.2),
    "aluminium": (2.6, 4.6),
    **dict.fromkeys(("copper", "brass", "nickel-silver", "beryllium-copper"), (2.5, 5.2)),
    "bronze": (2.4, 5.2),
    **dict.fromkeys(("gold", "silver", "platinum", "palladium"), (2.4, 5.2)),
}
# Each line from soft to hard.
ORDER = (
    ("annealed", "quarter-hard", "half-hard", "hard", "spring-hard"),
    ("annealed", "drawn", "hard"),
    ("annealed", "cold-worked", "cold-worked-aged"),
    ("annealed", "aged"),
    ("solution-treated", "aged"),
    ("annealed", "tempered-blue", "tempered-hard", "hardened"),
    ("annealed", "t6"),
)
EXACT_ENOUGH = ("permeability",)  # what counts lies behind the point
