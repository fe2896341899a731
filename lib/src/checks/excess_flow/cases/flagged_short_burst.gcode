; a burst that leaves a few millimetres cold: less than a zone of them
; expect: excess-flow warning
; set: filament.material=pla
; set: machine.melt_zone_mm=20
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
G1 X110 E16.6301 F1200
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301 F600
G1 X10 E16.6301 F4800
G1 X60 E8.31503
G1 X60
G1 X20 E6.65203 F600
G1 X60 E6.65203
G1 X20 E6.65203
M104 S0
M140 S0
