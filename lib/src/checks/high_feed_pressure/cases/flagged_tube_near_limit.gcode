; 21 mm³/s through a guide tube, where 22 are heated through
; expect: high-feed-pressure note
; tells: of 20.0
; 0.9 × 22.23 mm³/s
; set: filament.material=pla
; set: machine.melt_zone_mm=20
; set: machine.drive=bowden
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
G1 X110 E16.6301 F1200
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301 F3180
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
