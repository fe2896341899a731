; expect: hot-dwell note
; tells: 8 of 5 s, count 1, lines 17 to 17
; 0.9 mm is no purge: both waits are one, and of two as long the first is named
G21
G90
M83
M140 S60
M104 S210
G28
M190 S60
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
G1 E2 F300
G1 X80 E2.04 F1200
G1 Y60 E1.36 F1200
G4 S4
G1 E0.9 F300
G4 S4
G1 X20 E2.04 F1200
G1 Y20 E1.36 F1200
M104 S0
M140 S0
G0 Z20 F600
M84
