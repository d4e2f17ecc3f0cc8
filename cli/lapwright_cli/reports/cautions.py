"""What a crew is warned of on every sheet, by how the siding's ends meet."""

from __future__ import annotations

from dataclasses import dataclass

from lapwright.job.material import Family


@dataclass(frozen=True, slots=True)
class Caution:
    """One warning: what it is about, and what to do."""

    about: str
    text: str


_SHEET = Caution(
    "This sheet comes last",
    "The local building code, the maker's instructions and whoever is licensed for the"
    " work come before this sheet. Where they say otherwise, do as they say. Measure again"
    " before the first cut on each wall.",
)
_EYES = Caution(
    "Eyes and ears",
    "Wear eye protection at every cut and punch, and hearing protection at a power saw."
    " Keep hands clear of the blade and let it stop before you reach for the offcut.",
)
_COLD_VINYL = Caution(
    "Cold vinyl breaks",
    "Vinyl turns brittle in the cold. Fit a fine-toothed blade backwards, cut slowly, hold"
    " the panel down close to the cut, and stand aside of flying chips.",
)
_MOVEMENT = Caution(
    "Vinyl must move",
    "Keep the gap at every stop, nail in the middle of the slot and leave the nail a little"
    " proud. The marks on these sheets already hold the gaps: do not take them off twice.",
)
_SILICA = Caution(
    "Silica dust (fiber-cement)",
    "Dust from cutting fiber-cement harms the lungs for good (OSHA 29 CFR 1926.1153)."
    " Cut outdoors, down wind of others, with shears, score-and-snap or a saw made for it"
    " with dust collection. Never run a power saw indoors. Never sweep dry: wet the dust or"
    " use a HEPA vacuum. Wear the mask that the rule and the maker ask for.",
)
_WOOD_DUST = Caution(
    "Wood dust (engineered wood)",
    "Wear a dust mask at the saw, and seal every field cut as the maker asks.",
)
_HEIGHTS = Caution(
    "Ladders and scaffolds",
    "Footing level and firm, ladder tied off, scaffold planked and railed before anyone goes"
    " up. Stay clear of power lines; long panels carry and catch the wind.",
)
_LEAD = Caution(
    "Lead paint before 1978",
    "On a house built before 1978 treat old paint as leaded until it is tested. In the USA"
    " the EPA's renovation, repair and painting rule asks for a certified firm.",
)
_ASBESTOS = Caution(
    "Asbestos-cement siding",
    "Old cement shingles or boards may hold asbestos. Do not cut, sand, drill or break them."
    " Stop, and call people who are licensed for it.",
)
_WATER = Caution(
    "Water goes behind siding",
    "Siding is not the water barrier. The weather barrier and all flashing at openings,"
    " corners and roof lines must be in place and whole before the first course.",
)


def cautions(*families: Family) -> tuple[Caution, ...]:
    """Give the warnings for families of siding, the nearest to the saw first."""
    own: tuple[Caution, ...] = ()
    if Family.LAPPED in families:
        own += (_COLD_VINYL, _MOVEMENT)
    if Family.BUTTED in families:
        own += (_SILICA, _WOOD_DUST)
    return (_SHEET, _EYES, *own, _HEIGHTS, _LEAD, _ASBESTOS, _WATER)
