; a groove in a sorting board
G21
G90
M3 S12000
M104 S210
G0 X10 Y10
G1 Z-1 F200
G1 X60 F600
G1 Y40
G1 X10
G1 Y10
G0 Z5
M5
M30
; skips: the file is not a print of material extrusion
