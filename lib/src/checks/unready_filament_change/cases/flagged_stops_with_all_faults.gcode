; expect: unready-filament-change warning
; tells: 2 stops (M0, M1, M25, M226) come in the middle of a bead, which goes on from the same place afterwards, with the nozzle under pressure (nothing is pulled back) and with the nozzle on the part
; tells: and prime afterwards; lift the nozzle and move it beside the part
; tells: symptoms stringing, scarring
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
M0
G1 X65 E0.51 F1200
M1
G1 X80 E0.51
G1 E-1 F1800
M104 S0
M140 S0
G0 Z30 F600
M84
