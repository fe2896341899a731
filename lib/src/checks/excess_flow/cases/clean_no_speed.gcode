; not a speed in the file: nothing tells how long anything takes
; set: filament.material=pla
; set: machine.melt_zone_mm=20
M83
G28
M140 S60
M109 S210
G1 Z0.3
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
