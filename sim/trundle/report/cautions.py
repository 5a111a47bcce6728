"""What every report says about using it, and about what the model leaves out."""

CAUTIONS = (
    "This is an estimate in the side view from the figures in the vehicle file. It is not a "
    "certificate, and it does not make a vehicle safe.",
    "Guard every place where track, sprocket, idler or arms can take a finger, a foot or a sleeve.",
    "Fit a kill switch that the rider, or someone beside the vehicle, can reach; try it before every drive.",
    "Test at walking pace, without a rider first, with nobody in front or behind, and look at every "
    "weld and bolt afterwards.",
    "Where people ride, or in public places, local rules apply and a licensed engineer decides.",
)

MODEL_LIMITS = (
    "Side view: left and right are one. No steering, no side slope, no one-sided kerb.",
    "Hard ground: it does not give, sink or crumble. Grip is one number for the whole course.",
    "Hull, brackets and arms are rigid; only springs, pads, rubber and track give. Nothing breaks or "
    "takes a set in the run; the build sheet checks the steel.",
    "The track is a smooth loop with mass and stretch, not single links: no chatter of teeth, and no "
    "real throwing. A loose spell or a wheel clear of the guide tooth is where it could happen.",
    "The driver holds the target speed and does not ease off before an obstacle, lean, or stand up.",
    "Short peaks (wheel loads, stop hits, jolts) depend on the rubber and pad figures; trust them to a "
    "fifth at best where those were guessed.",
)
