; the tube holds 7 N
; expect: high-feed-pressure warning
; tells: of 5.25 N
; 0.75 × 7 N
; set: filament.material=pla
; set: machine.melt_zone_mm=20
; set: machine.drive=bowden
; set: machine.tube_hold_n=7
; set: machine.drive_force_n=60
M83
G28
M140 S60
M109 S210
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
