; expect: unhomed-move warning
; tells: before the file homes Y.
G21
G90
M83
M104 S210
G28 X Z
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
G1 X80 E2 F1200
G1 Y60 E1.3
M104 S0
