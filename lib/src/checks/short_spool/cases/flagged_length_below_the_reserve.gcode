; expect: short-spool error
; tells: of the 0.05 m on the spool 0 m get through
; a scrap of 50 mm
; set: filament.spool_length_mm=50
G21
G90
M83
M104 S210
G28
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
G1 X80 E2 F1200
G1 Y60 E1.3
M104 S0
