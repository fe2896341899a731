; expect: hot-dwell note
; tells: 61 of 60 s, count 1, lines 19 to 19
; over the part and parked add up; named is the longer wait
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
G92 Z9
G4 S57
G92 Z0.2
G1 X20 E2.04 F1200
G1 Y20 E1.36 F1200
M104 S0
M140 S0
G0 Z20 F600
M84
