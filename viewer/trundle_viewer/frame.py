"""What a layer draws with: one picture's surface, camera, colours and scene."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pygame

from trundle_viewer.camera import Camera
from trundle_viewer.compared import Compared
from trundle_viewer.head import Head
from trundle_viewer.notes import Note
from trundle_viewer.palette import Palette
from trundle_viewer.scene import Scene
from trundle_viewer.stage import Stage
from trundle_viewer.traces import Traces
from trundle_viewer.view import View


@dataclass(frozen=True, eq=False)
class Frame:
    """One picture while it is drawn. to: the surface; rect: the picture's part of it [px]; u: screen unit, 1 px on a
    1280 x 720 window; ghost: gives the other run's scene, None if there is none; traces: None if they are hidden;
    head: what is said at the top; notes: gathered by layers, placed together so that none overlap."""

    to: pygame.Surface
    rect: pygame.Rect
    cam: Camera
    p: Palette
    u: float
    stage: Stage
    view: View
    scene: Scene
    ghost: Callable[[], Scene | None]
    traces: Traces | None
    compared: Compared | None
    head: Head
    notes: list[Note]
