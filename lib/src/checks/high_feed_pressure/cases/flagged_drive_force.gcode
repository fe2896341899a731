; 10 mm³/s of PLA at 210 °C through 0.4 mm take 7.7 N; this drive brings up 6
; expect: high-feed-pressure warning
; tells: of 4.5 N
; 0.75 × 6 N
; set: filament.material=pla
; set: machine.melt_zone_mm=20
; set: machine.drive_force_n=6
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
