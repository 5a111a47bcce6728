"""What is taken for an answer that nobody gave, in words with its unit."""

from __future__ import annotations

from trundle.design.known import Known
from trundle.design.layout import ends, usual_stations
from trundle.errors import InputError
from trundle.fields.quantity import unit_of


def estimate(known: Known, path: str) -> str:
    """`170 mm`; empty where nothing is taken by itself, or cannot be yet. path: of the answer."""
    table, _, field = path.rpartition(".")
    if path == "wheels.each_side":
        try:
            return f"about {known.each_side or usual_stations(known, ends(known))}"
        except InputError:
            return ""
    if table == "stock" and field != "kind":
        return ""
    value: object = {
        "use": known.use,
        "all_up_kg": known.mass_kg,
        "length_mm": known.length_mm,
        "kerb_mm": known.kerb_mm,
        "speed_m_s": known.speed_m_s,
        "wheels.diameter_mm": 2.0 * known.radius_mm,
        "wheels.width_mm": known.wheel_width_mm,
        "wheels.abreast": known.abreast,
        "wheels.rubber_rate_N_per_mm": known.tyre_N_per_mm,
        "track.pitch_mm": known.pitch_mm,
        "track.width_mm": known.track_mm,
        "track.thickness_mm": known.thickness_mm,
        "track.mass_kg_per_m": known.track_kg_per_m,
        "track.tooth_mm": known.tooth_mm,
    }.get(path)
    if value is None:
        return ""
    return f"{value:g} {unit_of(field) or ''}".strip() if isinstance(value, (int, float)) else str(value)
