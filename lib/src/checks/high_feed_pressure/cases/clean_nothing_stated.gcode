; a drive on the hot end, and nobody stated what it brings up
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
G1 X110 E16.6301 F3150
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
; skips: nobody stated what the drive can push
