"""Watch a run: draws records and the model they came from. Holds no physics; nothing in trundle imports it
but a command, when it is called.
"""

import os

# pygame greets on import; a command that prints a table must not.
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
