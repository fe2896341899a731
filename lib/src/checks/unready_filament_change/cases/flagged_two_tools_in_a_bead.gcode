; expect: unready-filament-change warning
; tells: 2 changes of tool come in the middle of a bead
; tells: count 2
; two changes of tool show no habit
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
G1 X80 E2.04 F1200
G1 E-1 F1800
G0 X20 Y24 F6000
G1 E1 F1800
G1 X50 E1.02 F1200
T1
G1 X65 E0.51 F1200
T0
G1 X75 E0.51 F1200
G1 E-1 F1800
M104 S0
M140 S0
G0 Z30 F600
M84
