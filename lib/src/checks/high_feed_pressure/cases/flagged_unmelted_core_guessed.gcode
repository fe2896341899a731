; the same with a guessed melt zone
; expect: high-feed-pressure note
; tells: 60 of 45 N, count 2
; set: filament.material=pla
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
G1 X110 E16.6301 F3600
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
