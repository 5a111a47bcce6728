"""What one contact pulls along the ground: a tread that shears before it slides, under a load that comes and goes.

A contact's load stands in layers, the last that came on top. Each layer has a pull of its own; it grows by
grip / full * load of the layer per metre of slip and is capped by its grip. A load that falls takes its layers off from
the top, with what they pull; a load that rises comes on without any. So the pull is scaled down with a falling load and
never up with a rising one, and a load that shakes takes off what it put on: nothing creeps. (Mindlin and
Deresiewicz, J. Appl. Mech. 20 (1953) 327, have rings of the touching area in place of layers; Elata and Berryman,
Mech. Mater. 24 (1996) 229, show that a stiffness which follows the load without it makes energy. From memory.)

It cannot make energy. A layer of load n that pulls t holds t2 full / (2 grip n). Slip puts in the mean pull times the
slip, which is the gain of that; what goes beyond the cap, what a layer holds when it is taken off, what two layers hold
more apart than as one of the same pull (a square, see `apart`), and what fresh track takes away are each worked out by
a formula that cannot be negative, and are the slip work.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.state import LAYERS

SHEAR_S = 0.002
"""Slip that counts as shear at once, per slip speed [s]: the loss in the pads that keeps shear from ringing."""


@inner
def clear(shear):
    """Nothing stands here."""
    shear.held_J = 0.0
    for k in range(LAYERS):
        shear.load_N[k] = 0.0
        shear.pull_N[k] = 0.0


@inner
def apart(n1, t1, n2, t2):
    """How much two layers hold more apart than as one, over full / (2 grip): loads n, pulls t [N]."""
    off = t1 * n2 - t2 * n1
    return off * off / (n1 * n2 * (n1 + n2))


@inner
def put_on(shear, more):
    """More load [N] on top, which does not pull yet. With no layer free, the two most alike become one.

    Returns what that loses, over full / (2 grip) [N].
    """
    for k in range(LAYERS):
        # A layer that does not pull is one with what comes.
        if shear.pull_N[k] == 0.0 and (k + 1 == LAYERS or shear.load_N[k + 1] == 0.0):
            shear.load_N[k] += more
            return 0.0
    n, t = more, 0.0
    least, best = apart(shear.load_N[LAYERS - 1], shear.pull_N[LAYERS - 1], n, t), LAYERS - 1
    for k in range(LAYERS - 1):
        loss = apart(shear.load_N[k], shear.pull_N[k], shear.load_N[k + 1], shear.pull_N[k + 1])
        if loss < least:
            least, best = loss, k
    for k in range(best, LAYERS):
        above_n = shear.load_N[k + 1] if k + 1 < LAYERS else n
        above_t = shear.pull_N[k + 1] if k + 1 < LAYERS else t
        if k == best:
            shear.load_N[k] += above_n
            shear.pull_N[k] += above_t
        else:
            shear.load_N[k] = above_n
            shear.pull_N[k] = above_t
    return least


@inner
def take_off(shear, less):
    """Less load [N], from the top. Returns what goes with it, over full / (2 grip) [N]."""
    lost = 0.0
    for step in range(LAYERS):
        k = LAYERS - 1 - step
        n, t = shear.load_N[k], shear.pull_N[k]
        if n == 0.0:
            continue
        if n > less:
            share = less / n
            shear.load_N[k] = n - less
            shear.pull_N[k] = t * (1.0 - share)
            return lost + t * t / n * share
        less -= n
        lost += t * t / n
        shear.load_N[k] = 0.0
        shear.pull_N[k] = 0.0
    return lost


@inner
def carry(d, shear, load, stays):
    """Bring a contact to its load [N]; of its pull, the share `stays` has not been carried off by fresh track.

    d: the model's DRIVE; shear: its SHEAR, changed. Returns the work lost [J].
    """
    if load <= 0.0:
        lost = shear.held_J
        clear(shear)
        return lost
    held = 0.0
    for k in range(LAYERS):
        held += shear.load_N[k]
    lost = shear.held_J * (1.0 - stays * stays)
    for k in range(LAYERS):
        shear.pull_N[k] *= stays
    if load > held:
        return lost + 0.5 * d.shear / d.grip * put_on(shear, load - held)
    return lost + 0.5 * d.shear / d.grip * take_off(shear, held - load)


@inner
def pulled(d, shear, slip, dt):
    """Pull of a contact [N] over a step at a slip speed [m/s], its slope by that speed, and how much of it is the
    layers' [N]: their mean over the step."""
    per = d.grip / d.shear
    load, twice, sprung = 0.0, 0.0, 0.0
    for k in range(LAYERS):
        n = shear.load_N[k]
        if n == 0.0:
            break
        t, most = shear.pull_N[k], d.grip * n
        then = t + per * n * slip * dt
        if then > most:
            then = most
        elif then < -most:
            then = -most
        else:
            sprung += n
        twice += t + then
        load += n
    layers = 0.5 * twice
    pull = layers + per * load * SHEAR_S * slip
    if pull > d.grip * load:
        return d.grip * load, 0.0, layers
    if pull < -d.grip * load:
        return -d.grip * load, 0.0, layers
    return pull, per * (0.5 * sprung * dt + load * SHEAR_S), layers


@inner
def give_way(d, shear, slip, dt):
    """Take the step of `pulled`: layers and energy afterwards into shear. Returns pull [N] and work lost [J]."""
    pull, _slope, layers = pulled(d, shear, slip, dt)
    lost = (pull - layers) * slip * dt
    per, held = d.grip / d.shear, 0.0
    for k in range(LAYERS):
        n = shear.load_N[k]
        if n == 0.0:
            break
        t, most = shear.pull_N[k], d.grip * n
        then = t + per * n * slip * dt
        if then > most or then < -most:
            then = most if then > most else -most
            lost += 0.5 * (t + then) * (slip * dt - (then - t) / (per * n))
        shear.pull_N[k] = then
        held += then * then / n
    shear.held_J = 0.5 * held / per
    return pull, lost
