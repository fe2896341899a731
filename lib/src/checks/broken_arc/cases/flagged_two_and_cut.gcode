; expect: broken-arc warning
; tells: count 2
; one before it is broken as well
G21
G90
M83
M104 S210
G28
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
G1 X80 E2 F1200
G2 X60 Y60 I1 J1 E1
G1 X20 E2
G2 X20 Y40 I0 J