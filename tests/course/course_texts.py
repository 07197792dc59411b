"""A course file that is right in everything."""

GOOD = """\
# Saltmarsh, ring 2
format = 1

[course]
title = "Saltmarsh Spring Show, ring 2"
rulebook = "club-show"     # the rules
discipline = "agility"
grade = "2"
heights = ["small", "large"]
speed_mps = 3.80
units = "m"

# the field
[ring]
size = [30.0, 40]   # x, y
solid = ["top", "left"]
entrance = [[0.0, 2.0], [0.0, 4.0]]
exit = [[30.0, 2.0], [30.0, 4.0]]

[[ring.blocked]]
name = "pillar"
centre = [15.0, 20.0]
radius = 0.4

[[ring.blocked]]
name = "tent"
outline = [[25.0, 35.0], [28.0, 35.0], [28.0, 38.0]]

# the first one
[[obstacle]]
id = "a"
kind = "jump"
at = [6.0, 8.0]
bearing = 90
bar = 1.30
wing = 0.50   # narrow wings

# to the left of it
[[obstacle]]
id = "b"
kind = "jump"
at = [12.0, 8.5]
bearing = -90

[[obstacle]]
id = "T"
kind = "tunnel"
at = [20.0, 10.0]
bearing = 0
length = 5.0
bend = 90

[[obstacle]]
id = "W-1_x"
kind = "weaves"
at = [10.0, 30.0]
bearing = 725.5
poles = 12

[sequence]
run = [
  "a", # away from the entrance
  "b left",
  "T reverse",
  "W-1_x",
]
start_line = 1.0
finish_line = 2   # room to stop

[store]
jump = 16
tunnel = { count = 3, lengths = [5.0, 5.0, 4.0] }
"""
