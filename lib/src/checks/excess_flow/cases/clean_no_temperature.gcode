; no temperature in the file
; set: filament.material=pla
; set: machine.melt_zone_mm=20
M83
G28
M140 S60
G1 Z0.3 F600
G1 X110 E16.6301 F1200
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301 F4800
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
; skips: the file sets no nozzle temperature while beads are laid
