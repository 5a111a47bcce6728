"""The README's moving picture: `python -m tests.movie`, or `python -m tests.measure movie`."""

from __future__ import annotations

from pathlib import Path

import trundle
from tests.measured import Measurement, no_arguments
from trundle.spec.shipped import find


def draw(path: Path) -> None:
    """Teasel over a kerb, three times slower than life; what `trundle watch teasel kerb-100 --movie` gives."""
    from trundle_viewer.export import export_movie
    from trundle_viewer.film import film_of_result
    from trundle_viewer.layers import shown_at_first

    result = trundle.run(
        trundle.load_vehicle(find("vehicles", "teasel")), trundle.load_course(find("courses", "kerb-100")), near=1
    )
    layers = shown_at_first() - {"traces"}
    export_movie(film_of_result(result), None, path, (432, 244), 2.65, 3.6, 3.0, layers=layers)


MEASUREMENT = Measurement("movie", "Teasel climbs a 100 mm kerb", None, draw, "kerb-100.gif")

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
