"""Drawings to build from: one sheet or more for each part that is made and each stack on a bolt, to a stated scale.

A kind of page is a file with a function `pages(subject)` that yields `Page`s; `page.py` puts frame and title block
round them. What is drawn stands in `ink.py` in the model's millimetres, `view.py` lays it out with its dimensions.
"""
