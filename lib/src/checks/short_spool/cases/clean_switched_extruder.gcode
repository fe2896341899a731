; M101 and M103 switch the extruder: what it feeds is not in E
; set: filament.spool_length_mm=100
G21
G90
M83
M104 S210
G28
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
M101
G1 X80 E500 F1200
M103
M101
G1 Y60 E500
M103
M104 S0
