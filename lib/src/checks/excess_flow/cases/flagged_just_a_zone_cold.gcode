; expect: excess-flow error
; tells: over 21 mm of filament
; 21 mm of filament leave cold, where the zone holds 20
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
G1 X150.00 E23.28214
G1 X20 E6.65203 F600
G1 X60 E6.65203
G1 X20 E6.65203
M104 S0
M140 S0
