"""Cautions that every output carries which a person could act on.

Our own words; ``docs/safety.md`` names the sources.
"""

CAUTIONS: tuple[str, ...] = (
    "Advisory figures, not certified data. The approved manuals, the operator's "
    "procedures and licensed staff decide.",
    "A hot wheel or tyre can burst. Approach only when the operator's procedure "
    "allows it, from straight ahead or straight behind, never from the side in line "
    "with the axle.",
    "The fuse plugs get hottest some time after the aircraft has parked. Keep people "
    "clear while a plug may still release.",
    "No water jet on hot brakes unless the fire service decides so. Smoke or flames: "
    "call the fire service, stay away.",
    "Chocks in. Parking brake set or released as the operator's procedure says.",
    "An indicated brake temperature read early after the stop, or beside a running "
    "fan, is too low.",
    "Stopping the aircraft comes before saving brake heat: no figure here is a reason "
    "to brake less than needed.",
    "Brake limits are not the only limits on weight and time. The performance office "
    "may have lower ones.",
)
