; ABS by the thinner of its power laws: 6.7 N of 8
; expect: high-feed-pressure note
; tells: of 6 N
; 0.75 × 8 N
; set: filament.material=abs
; set: machine.melt_zone_mm=20
; set: machine.drive_force_n=8
M83
G28
M140 S60
M109 S240
G1 Z0.3 F600
G1 X110 E16.6301 F1200
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301 F1500
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
