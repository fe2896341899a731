; two fast lines beside the part fill the nozzle, a push into the air before them
; set: filament.material=pla
; set: machine.melt_zone_mm=20
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
G1 E60 F900
G1 X110 E16.6301 F4800
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301 F600
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
