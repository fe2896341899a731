; the last scrap of a wipe hardly moves: 10 nm of path at the speed of a travel are no fast retraction
; set: machine.drive=direct
G21
G90
M83
G28
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
G1 X80 E2.04 F1200
G1 E-0.7 F1800
G1 X79 E-0.09998 F30000
G1 X79.00001 E-0.00002
G0 X20 Y24 F6000
G1 E0.8 F1800
G1 X80 E2.04 F1200
M104 S0
