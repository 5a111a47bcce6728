"""The bench: a vehicle stands on level ground, its parts are moved by hand, and what that does is told at once.

design: the file's tables, what was set on top, every state so far. handles: what of a vehicle can be taken hold of.
stood, asking: how a state stands, worked out on a thread of its own, always the newest. figures: before, now, better or
worse. pose, picture, panel, bar: what is drawn. actions, hands, app: keys, mouse, the loop.
"""
