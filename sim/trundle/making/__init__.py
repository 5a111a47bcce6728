"""What is made and what is bought for a vehicle, part by part, from its file alone: mm and kg, as on a drawing.

`made` lists what is cut, drilled and bent, `bolted` every bolt with all that it goes through. Lists, checks and
drawings read these, so that a drawing cannot show what the list does not have.
"""
